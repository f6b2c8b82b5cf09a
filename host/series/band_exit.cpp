#include "series/band_exit.h"

#include "series/robust.h"

#include <algorithm>
#include <cmath>

namespace quaycell {

namespace {

constexpr Milliseconds looked_back = std::chrono::days{7};
constexpr double most_days = 3652;

/// Nothing beyond what can be foretold.
std::optional<Instant> after_days(Instant from, double days) {
    if (!(days >= 0 && days <= most_days)) return std::nullopt;
    constexpr double day_ms = 86'400'000;
    return from + Milliseconds{static_cast<std::int64_t>(days * day_ms)};
}

} // namespace

std::optional<BandExit> band_exit(const Column<Instant>& time, const Column<double>& undisturbed_mv,
                                  const Column<double>& expanded_uncertainty_mv, const Trend& trend,
                                  double limit_mv) {
    if (!trend.why_none.empty() || !trend.significant) return std::nullopt;
    const bool rises = trend.mv_per_day > 0;
    const double fastest = rises ? trend.high : -trend.low;
    const double slowest = rises ? trend.low : -trend.high;
    std::vector<double> level, uncertainty;
    Instant first{}, last{};
    for (std::size_t i = time.size(); i > 0 && time.back() - time[i - 1] <= looked_back; --i) {
        if (std::isnan(undisturbed_mv[i - 1])) continue;
        level.push_back(undisturbed_mv[i - 1]);
        uncertainty.push_back(expanded_uncertainty_mv[i - 1]);
        if (level.size() == 1) last = time[i - 1];
        first = time[i - 1];
    }
    // The median is what the potential was in the middle of them: from there it goes on.
    const Instant then = first + (last - first) / 2;
    const double level_mv = median_of(std::move(level));
    const double room_mv = rises ? limit_mv - level_mv : level_mv - limit_mv;
    const double either_way_mv = median_of(std::move(uncertainty));
    if (!(room_mv > 0) || std::isnan(either_way_mv)) return std::nullopt;
    const double least_mv = std::max(0.0, room_mv - either_way_mv);
    const auto earliest = after_days(then, least_mv / fastest);
    if (!earliest) return std::nullopt;
    auto latest =
        slowest > 0 ? after_days(then, (room_mv + either_way_mv) / slowest) : std::nullopt;
    if (latest) latest = std::max(*latest, time.back());
    return BandExit{limit_mv, std::max(*earliest, time.back()), latest, either_way_mv};
}

} // namespace quaycell
