// Statistics of a potential over time.
#pragma once

#include "base/time.h"

#include <cstdint>
#include <span>
#include <vector>

namespace quaycell {

/// All missing_value when there is no reading.
struct Statistics {
    double median_mv;
    double p5_mv;  ///< 5 % of the time more negative
    double p95_mv; ///< 5 % of the time more positive
    double min_mv;
    double max_mv;
};

/// The times that readings stand for as weights; all 1 where they stand for none, as one or two do.
std::vector<std::int64_t> weights_of(std::span<const Milliseconds> stands_for);

/// Weighted with the time that each value stands for; missing values are left out. A percentile
/// that falls exactly between two values is their middle.
Statistics statistics_of(std::span<const double> values_mv,
                         std::span<const Milliseconds> stands_for);

} // namespace quaycell
