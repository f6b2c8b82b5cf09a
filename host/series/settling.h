// The decay after launch or after new anodes.
#pragma once

#include "base/time.h"

#include <optional>
#include <span>

namespace quaycell {

/// size_mv exp(-(t - from) / time_constant), above the level that it settles to.
struct Settling {
    Instant from;
    double size_mv;
    double time_constant_h;

    double at_mv(Instant time) const;
};

/// Looks at the first day and a half of a record for a potential that grows more negative, fast at
/// first and slower with time. Values without cycles and steps. Nothing where a straight line does
/// as well.
std::optional<Settling> settling_of(std::span<const Instant> time,
                                    std::span<const double> value_mv);

} // namespace quaycell
