// Where on a hull something is.
#pragma once

#include "base/result.h"

#include <string_view>

namespace quaycell {

enum class HullSide { port, centre, starboard };

std::string_view name_of(HullSide side); ///< "starboard"

/// The side of that name, or an error (wrong_usage) that lists the valid names.
Result<HullSide> hull_side_named(std::string_view name);

struct HullPlace {
    double forward = 0.5; ///< along the hull: 0 at the stern, 1 at the bow
    HullSide side = HullSide::centre;
    bool operator==(const HullPlace&) const = default;
};

} // namespace quaycell
