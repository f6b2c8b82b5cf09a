// A survey from point to point, on the outline of the hull.
#pragma once

#include "chart/scene.h"
#include "protection/verdict.h"
#include "vessel/hull_place.h"

#include <span>

namespace quaycell {

struct SurveyedPoint {
    std::string name; ///< "rudder stock"
    double forward;   ///< where along the hull: 0 at the stern, 1 at the bow
    HullSide side;
    double potential_mv; ///< on agcl/seawater
    Verdict verdict;
    bool differs = false; ///< from the hull, by more than bonded metals may
};

/// The hull from above, bow to the right, so that port is up. Every point has a mark of its
/// verdict's own shape, a ring where it differs from the hull, its number and value where there is
/// room for it, and a row of the list below. `width_mm`: 100 at least.
Scene draw_survey(std::string_view title, std::span<const SurveyedPoint> points, double width_mm,
                  const TextWidth& text_width);

} // namespace quaycell
