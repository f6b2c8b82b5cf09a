// Whether the potential drifts from day to day, as it does when anodes waste.
#pragma once

#include "base/time.h"
#include "series/column.h"

#include <cstdint>
#include <span>
#include <string>

namespace quaycell {

/// Mann and Kendall's test of whether values rise or fall in their order. Ties are allowed for.
struct MannKendall {
    std::int64_t s;  ///< pairs that rise less pairs that fall
    double variance; ///< of s, if there were no trend
    double z;        ///< of the standard normal distribution, with continuity correction

    /// At the 5 % level, two-sided.
    bool significant() const;
};
MannKendall mann_kendall(std::span<const double> values);

/// A slope with its 95 % interval.
struct Slope {
    double median;
    double low;
    double high;
};

/// Theil and Sen: the median of the slopes between all pairs of points, with Sen's interval
/// (Gilbert 1987, Statistical Methods for Environmental Pollution Monitoring, 16.4.2, from memory).
/// At least two points, x rising strictly.
Slope theil_sen(std::span<const double> x, std::span<const double> y);

/// Of the daily medians: days in UTC, each weighing the time that its readings stand for.
struct Trend {
    double mv_per_day; ///< negative: toward better protected; missing_value when there is no trend
    double low;        ///< 95 % interval, [mV/day]
    double high;
    bool significant;     ///< at the 5 % level; not where `why_none` says something
    std::string why_none; ///< why the record tells no trend, and what would; empty when it does
};

/// What readings are compared with one another: one number per reading, rising at every step that
/// nobody knows the reason of. Empty: all are.
using Levels = Column<std::size_t>;

/// Days of one level are compared only with one another, as seasons are in the seasonal Kendall
/// test (Hirsch, Slack and Smith 1982; from memory): the sums of S and of its variance over the
/// levels, the median of the slopes within levels. The variance is widened by (1 + r) / (1 - r) for
/// days that resemble the day before, r being the autocorrelation of what the trend leaves.
/// A day counts from four covered hours on; there is no trend below 30 days from first to last, two
/// rounds of spring and neap tides, or when fewer than two thirds of them count (our judgement).
Trend trend_of(const Column<Instant>& time, const Column<double>& undisturbed_mv,
               const Column<Milliseconds>& stands_for, const Levels& level = {});

} // namespace quaycell
