// When a drift will have taken the hull out of its band.
#pragma once

#include "series/trend.h"

#include <optional>

namespace quaycell {

struct BandExit {
    double limit_mv;                ///< the end of the band that the drift leads to
    Instant earliest;               ///< the end of the record where it may be passed already
    std::optional<Instant> latest;  ///< nothing where the drift may also be none
    double expanded_uncertainty_mv; ///< of where the limit lies beside the readings, k = 2
};

/// From the median of the last week, by the ends of the trend's 95 % interval and of the expanded
/// uncertainty (k = 2) of the readings of that week: the fastest drift with the least room is the
/// earliest day, the slowest with the most room the latest, so that the range is rather too wide.
/// Nothing without a significant trend toward the limit, when the median has passed it, and beyond
/// ten years, which no drift foretells. Values and uncertainties have one per reading.
std::optional<BandExit> band_exit(const Column<Instant>& time, const Column<double>& undisturbed_mv,
                                  const Column<double>& expanded_uncertainty_mv, const Trend& trend,
                                  double limit_mv);

} // namespace quaycell
