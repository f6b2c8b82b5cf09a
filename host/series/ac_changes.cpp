#include "series/ac_changes.h"

#include "series/coverage.h"
#include "series/level_steps.h"
#include "series/robust.h"

#include <algorithm>
#include <cmath>
#include <iterator>

namespace quaycell {

namespace {

/// AC spreads in proportion to itself, down to what the amplifier shows without any: on a
/// logarithmic scale that bends at so many mV its noise is about the same everywhere.
constexpr double bend_mv = 5;
constexpr double least_change_mv = 4;
constexpr double noises = 4;
const double least_ratio = std::log(1.5);

/// What counts as a change. Where there is AC, its noise may be another than where there is none,
/// which is most of the time.
StepLimits limits_for(std::span<const double> scaled) {
    std::vector<double> with_ac;
    std::ranges::copy_if(scaled, std::back_inserter(with_ac),
                         [](double v) { return v > std::log1p(2.0); });
    return {std::max(least_ratio, noises * noise_of(with_ac)), noises, 0, 3};
}

} // namespace

std::vector<AcChange> ac_changes(const Trace& trace, const std::vector<bool>& shows_hull,
                                 Milliseconds interval) {
    std::vector<Instant> time;
    std::vector<double> scaled;
    for (std::size_t i = 0; i < trace.ac_mv.size(); ++i) {
        if (!shows_hull[i] || std::isnan(trace.ac_mv[i])) continue;
        time.push_back(trace.time[i]);
        scaled.push_back(std::log1p(trace.ac_mv[i] / bend_mv));
    }
    // AC may be measured less often than the potential.
    const Milliseconds spacing = std::max(interval, coverage_of(time).interval);
    const std::vector<LevelStep> steps = level_steps(time, scaled, spacing, limits_for(scaled));

    std::vector<AcChange> changes;
    const auto level = [&](std::size_t first, std::size_t end) {
        return bend_mv * std::expm1(median_of({scaled.begin() + static_cast<std::ptrdiff_t>(first),
                                               scaled.begin() + static_cast<std::ptrdiff_t>(end)}));
    };
    for (std::size_t i = 0; i < steps.size(); ++i) {
        const std::size_t from = i == 0 ? 0 : steps[i - 1].at;
        const std::size_t to = i + 1 == steps.size() ? time.size() : steps[i + 1].at;
        const AcChange change{time[steps[i].at], level(from, steps[i].at), level(steps[i].at, to)};
        if (std::abs(change.after_mv - change.before_mv) >= least_change_mv)
            changes.push_back(change);
    }
    return changes;
}

} // namespace quaycell
