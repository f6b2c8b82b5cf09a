// When a drift will have taken the hull out of its band.
#pragma once

#include "series/trend.h"

#include <optional>

namespace quaycell {

struct BandExit {
    double limit_mv; ///< the least negative that still protects
    Instant earliest;
    std::optional<Instant> latest; ///< nothing where the drift may also be none
};

/// By the ends of the trend's interval, from the median of the last week. Nothing without a
/// significant trend toward less negative, when the limit is passed already, and beyond ten years,
/// which no drift foretells. `undisturbed_mv` has one value per reading.
std::optional<BandExit> band_exit(std::span<const Instant> time,
                                  std::span<const double> undisturbed_mv, const Trend& trend,
                                  double limit_mv);

} // namespace quaycell
