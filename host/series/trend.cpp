#include "series/trend.h"

#include "series/robust.h"
#include "series/statistics.h"
#include "series/trace.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <numeric>
#include <vector>

namespace quaycell {

namespace {

constexpr double two_sided_5_percent = 1.959964; // of the standard normal distribution
constexpr int fewest_days = 30;
constexpr std::size_t fewest_that_count = 20;
constexpr Milliseconds counts_from = std::chrono::hours{4};

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

/// The median of one day, or of that part of it that lies on one level.
struct DailyMedian {
    double day; ///< since 1970, the middle of its readings
    double median_mv;
    std::size_t level;
};

/// Weights are alike nearly always; then the values need not be sorted.
double weighted_median(std::span<double> values, std::span<const Milliseconds> weights) {
    if (std::ranges::adjacent_find(weights, std::ranges::not_equal_to{}) == weights.end())
        return median_in_place(values);
    return statistics_of({nullptr, std::span<const double>(values)}, {nullptr, weights}).median_mv;
}

std::vector<DailyMedian> daily_medians(const Column<Instant>& time,
                                       const Column<double>& undisturbed_mv,
                                       const Column<Milliseconds>& stands_for,
                                       const Levels& level) {
    std::vector<DailyMedian> medians;
    std::vector<double> values;
    std::vector<Milliseconds> weights;
    const auto level_of = [&](std::size_t i) { return level.empty() ? 0 : level[i]; };
    for (std::size_t to = 0; to < time.size();) {
        const auto day = std::chrono::floor<std::chrono::days>(time[to]);
        const std::size_t day_level = level_of(to);
        Milliseconds covered{0};
        double weighted_s = 0; // since the day began
        values.clear();
        weights.clear();
        for (; to < time.size(); ++to) {
            const Instant now = time[to];
            if (now >= day + std::chrono::days{1} || level_of(to) != day_level) break;
            const double value = undisturbed_mv[to];
            if (std::isnan(value)) continue;
            const Milliseconds weight = stands_for[to];
            covered += weight;
            weighted_s += seconds_between(day, now) * static_cast<double>(weight.count());
            values.push_back(value);
            weights.push_back(weight);
        }
        if (covered < counts_from) continue;
        constexpr double day_s = 86400;
        const double middle_s = weighted_s / static_cast<double>(covered.count());
        medians.push_back({static_cast<double>(day.time_since_epoch().count()) + middle_s / day_s,
                           weighted_median(values, weights), day_level});
    }
    return medians;
}

/// Calls `work` with the days and the medians of each level.
template <typename Work>
void with_each_level(const std::vector<DailyMedian>& medians, Work work) {
    for (std::size_t from = 0; from < medians.size();) {
        std::vector<double> day, median_mv;
        std::size_t to = from;
        for (; to < medians.size() && medians[to].level == medians[from].level; ++to) {
            day.push_back(medians[to].day);
            median_mv.push_back(medians[to].median_mv);
        }
        work(day, median_mv);
        from = to;
    }
}

std::vector<double> pair_slopes(std::span<const double> x, std::span<const double> y) {
    std::vector<double> slopes;
    for (std::size_t i = 0; i < x.size(); ++i)
        for (std::size_t j = i + 1; j < x.size(); ++j)
            slopes.push_back((y[j] - y[i]) / (x[j] - x[i]));
    return slopes;
}

/// `deviation` is that of Kendall's S.
Slope slope_of(std::vector<double> slopes, double deviation) {
    std::sort(slopes.begin(), slopes.end());
    const auto count = static_cast<double>(slopes.size());
    const double reach = two_sided_5_percent * deviation;
    return {at_rank(slopes, (count + 1) / 2), at_rank(slopes, (count - reach) / 2),
            at_rank(slopes, (count + reach) / 2 + 1)};
}

double kendall_z(std::int64_t s, double variance) {
    const double toward_zero = static_cast<double>(s > 0 ? s - 1 : s < 0 ? s + 1 : 0);
    return variance > 0 ? toward_zero / std::sqrt(variance) : 0;
}

/// By how much days resemble the day before, once the trend is taken off. Each mean that is taken
/// off makes a series of n look less alike than it is, by (1 + 3 r) / n (Marriott and Pope 1954,
/// from memory).
double likeness(const std::vector<DailyMedian>& medians, double mv_per_day) {
    double products = 0, squares = 0, levels = 0;
    with_each_level(medians, [&](const auto& day, const auto& median_mv) {
        ++levels;
        std::vector<double> left;
        for (std::size_t i = 0; i < day.size(); ++i)
            left.push_back(median_mv[i] - mv_per_day * day[i]);
        const double mean =
            std::accumulate(left.begin(), left.end(), 0.0) / static_cast<double>(left.size());
        for (std::size_t i = 0; i < left.size(); ++i) {
            squares += (left[i] - mean) * (left[i] - mean);
            if (i > 0) products += (left[i] - mean) * (left[i - 1] - mean);
        }
    });
    constexpr double most = 0.9;
    const double lost = levels / static_cast<double>(medians.size());
    if (!(squares > 0)) return 0;
    if (3 * lost >= 1) return most;
    return std::clamp((products / squares + lost) / (1 - 3 * lost), 0.0, most);
}

std::string why_no_trend(const std::vector<DailyMedian>& medians, int days) {
    // A day with a step in it has a median on either side.
    std::vector<double> counted;
    for (const DailyMedian& each : medians)
        counted.push_back(std::floor(each.day));
    const auto same = std::ranges::unique(counted);
    const std::size_t count = counted.size() - same.size();
    return fmt::format("{} of {} day{} of record count{}: from {} days on, {} of them with four "
                       "undisturbed hours, a record tells whether the potential drifts, as it does "
                       "when anodes waste, beneath what tide and weather do to it",
                       count, days, days == 1 ? "" : "s", count == 1 ? "s" : "", fewest_days,
                       fewest_that_count);
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
    return {s, variance, kendall_z(s, variance)};
}

Slope theil_sen(std::span<const double> x, std::span<const double> y) {
    return slope_of(pair_slopes(x, y), std::sqrt(kendall_variance(y)));
}

Trend trend_of(const Column<Instant>& time, const Column<double>& undisturbed_mv,
               const Column<Milliseconds>& stands_for, const Levels& level) {
    const std::vector<DailyMedian> medians = daily_medians(time, undisturbed_mv, stands_for, level);
    const auto day_of = [](Instant at) { return std::chrono::floor<std::chrono::days>(at); };
    const auto days =
        time.empty() ? 0
                     : static_cast<int>((day_of(time.back()) - day_of(time.front())).count()) + 1;
    std::int64_t s = 0;
    double variance = 0;
    std::vector<double> slopes;
    with_each_level(medians, [&](const auto& day, const auto& median_mv) {
        const MannKendall test = mann_kendall(median_mv);
        s += test.s;
        variance += test.variance;
        const std::vector<double> of_level = pair_slopes(day, median_mv);
        slopes.insert(slopes.end(), of_level.begin(), of_level.end());
    });
    if (days < fewest_days || medians.size() < fewest_that_count || slopes.empty())
        return {missing_value, missing_value, missing_value, false, why_no_trend(medians, days)};
    const double r = likeness(medians, slope_of(slopes, 0).median);
    variance *= (1 + r) / (1 - r);
    const Slope slope = slope_of(std::move(slopes), std::sqrt(variance));
    const MannKendall whole{s, variance, kendall_z(s, variance)};
    return {slope.median, slope.low, slope.high, whole.significant(), ""};
}

} // namespace quaycell
