#include "series/trend.h"

#include "series/statistics.h"
#include "series/trace.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <vector>

namespace quaycell {

namespace {

constexpr double two_sided_5_percent = 1.959964; // of the standard normal distribution
constexpr std::size_t fewest_days = 30;
constexpr Milliseconds half_a_day = std::chrono::hours{12};

/// Variance of Kendall's S without a trend, less what ties take from it.
double kendall_variance(std::span<const double> values) {
    const auto term = [](double n) { return n * (n - 1) * (2 * n + 5); };
    std::vector<double> sorted(values.begin(), values.end());
    std::sort(sorted.begin(), sorted.end());
    double sum = term(static_cast<double>(sorted.size()));
    for (auto from = sorted.begin(); from != sorted.end();) {
        const auto to = std::upper_bound(from, sorted.end(), *from);
        sum -= term(static_cast<double>(to - from));
        from = to;
    }
    return sum / 18;
}

/// The value at a rank that counts from 1 and may lie between two or beyond the ends.
double at_rank(std::span<const double> sorted, double rank) {
    const double place = std::clamp(rank - 1, 0.0, static_cast<double>(sorted.size() - 1));
    const auto below = static_cast<std::size_t>(place);
    const std::size_t above = std::min(below + 1, sorted.size() - 1);
    return std::lerp(sorted[below], sorted[above], place - static_cast<double>(below));
}

struct DailyMedians {
    std::vector<double> day; ///< since 1970, in UTC
    std::vector<double> median_mv;
};

DailyMedians daily_medians(std::span<const Instant> time, std::span<const double> standard_mv,
                           std::span<const Milliseconds> stands_for) {
    DailyMedians medians;
    for (std::size_t from = 0; from < time.size();) {
        const auto day = std::chrono::floor<std::chrono::days>(time[from]);
        Milliseconds covered{0};
        std::size_t to = from;
        for (; to < time.size() && time[to] < day + std::chrono::days{1}; ++to)
            if (!std::isnan(standard_mv[to])) covered += stands_for[to];
        if (covered >= half_a_day) {
            medians.day.push_back(static_cast<double>(day.time_since_epoch().count()));
            medians.median_mv.push_back(statistics_of(standard_mv.subspan(from, to - from),
                                                      stands_for.subspan(from, to - from))
                                            .median_mv);
        }
        from = to;
    }
    return medians;
}

} // namespace

bool MannKendall::significant() const {
    return std::abs(z) > two_sided_5_percent;
}

MannKendall mann_kendall(std::span<const double> values) {
    std::int64_t s = 0;
    for (std::size_t i = 0; i < values.size(); ++i)
        for (std::size_t j = i + 1; j < values.size(); ++j)
            s += (values[j] > values[i]) - (values[j] < values[i]);
    const double variance = kendall_variance(values);
    const double toward_zero = static_cast<double>(s > 0 ? s - 1 : s < 0 ? s + 1 : 0);
    return {s, variance, variance > 0 ? toward_zero / std::sqrt(variance) : 0};
}

Slope theil_sen(std::span<const double> x, std::span<const double> y) {
    std::vector<double> slopes;
    slopes.reserve(x.size() * (x.size() - 1) / 2);
    for (std::size_t i = 0; i < x.size(); ++i)
        for (std::size_t j = i + 1; j < x.size(); ++j)
            slopes.push_back((y[j] - y[i]) / (x[j] - x[i]));
    std::sort(slopes.begin(), slopes.end());
    const auto count = static_cast<double>(slopes.size());
    const double reach = two_sided_5_percent * std::sqrt(kendall_variance(y));
    return {at_rank(slopes, (count + 1) / 2), at_rank(slopes, (count - reach) / 2),
            at_rank(slopes, (count + reach) / 2 + 1)};
}

Trend trend_of(std::span<const Instant> time, std::span<const double> standard_mv,
               std::span<const Milliseconds> stands_for) {
    const DailyMedians medians = daily_medians(time, standard_mv, stands_for);
    const std::size_t days = medians.day.size();
    if (days < fewest_days)
        return {missing_value, missing_value, missing_value, false,
                fmt::format("{} day{} of record at least half covered: from {} on, a record tells "
                            "whether the potential drifts, as it does when anodes waste, beneath "
                            "what tide and weather do to it",
                            days, days == 1 ? "" : "s", fewest_days)};
    const Slope slope = theil_sen(medians.day, medians.median_mv);
    return {slope.median, slope.low, slope.high, mann_kendall(medians.median_mv).significant(), ""};
}

} // namespace quaycell
