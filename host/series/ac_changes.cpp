#include "series/ac_changes.h"

#include "series/coverage.h"
#include "series/level_steps.h"
#include "series/robust.h"

#include <algorithm>
#include <cmath>
#include <memory>

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
StepLimits limits_for(const Column<double>& scaled) {
    const double some_ac = std::log1p(2.0);
    NoiseMeter with_ac;
    for (std::size_t i = 0; i < scaled.size(); ++i)
        if (const double each = scaled[i]; each > some_ac) with_ac.add(each);
    return {std::max(least_ratio, noises * with_ac.noise()), noises, 0, 3};
}

} // namespace

std::vector<AcChange> ac_changes(const Readings& trace, const std::vector<bool>& shows_hull,
                                 Milliseconds interval) {
    // AC may be missing from most readings: what there is is kept, in few bytes.
    struct Kept {
        std::vector<Instant> time;
        std::vector<float> scaled;
    };
    const auto kept = std::make_shared<Kept>();
    for (std::size_t first = 0; first < trace.ac_mv.size();) {
        const auto ac_mv = trace.ac_mv.from(first);
        for (std::size_t i = 0; i < ac_mv.size(); ++i) {
            if (std::isnan(ac_mv[i]) || !shows_hull[first + i]) continue;
            kept->time.push_back(trace.time[first + i]);
            kept->scaled.push_back(static_cast<float>(std::log1p(ac_mv[i] / bend_mv)));
        }
        first += ac_mv.size();
    }
    const Column<Instant> time(kept, kept->time);
    const Column<double> scaled(time.size(), [kept](std::size_t first, std::span<double> out) {
        std::copy_n(kept->scaled.begin() + static_cast<std::ptrdiff_t>(first), out.size(),
                    out.begin());
    });
    // AC may be measured less often than the potential.
    const Milliseconds spacing = std::max(interval, coverage_of(time).interval);
    const std::vector<LevelStep> steps = level_steps(time, scaled, spacing, limits_for(scaled));

    std::vector<AcChange> changes;
    const auto level = [&](std::size_t first, std::size_t end) {
        return bend_mv * std::expm1(median_of(scaled, first, end));
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
