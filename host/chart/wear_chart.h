// How an anode wears: what is left of it, and when half will be gone.
#pragma once

#include "base/zone.h"
#include "chart/scene.h"

#include <optional>
#include <span>

namespace quaycell {

struct AnodeMass {
    Instant at;
    double mass_kg;
};

/// What stands on the chart. Both lines in order of time; either may be empty.
struct AnodeWear {
    std::string name; ///< "aluminium, port quarter"
    double new_mass_kg;
    double renew_at_gone; ///< share of it that is gone when it is renewed
    std::vector<AnodeMass> weighed;
    std::vector<AnodeMass> expected;   ///< computed, drawn with dashes
    std::optional<Instant> renew_from; ///< the earliest and the latest day on which it is expected
    std::optional<Instant> renew_to;   ///< to be due
    Zone zone;
};

/// Mass over time with the line where the anode is renewed. Nothing dated: an empty plot that says
/// so. `width_mm`: 100 at least.
Scene draw_wear(const AnodeWear& wear, double width_mm, const TextWidth& text_width);

} // namespace quaycell
