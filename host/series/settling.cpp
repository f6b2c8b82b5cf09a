#include "series/settling.h"

#include "series/least_squares.h"
#include "series/robust.h"
#include "series/shown.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>

namespace quaycell {

namespace {

using namespace std::chrono_literals;

/// Polarisation goes on for 5 to 24 h after new anodes (a surveyors' lexicon, read).
constexpr Milliseconds looked_at = 36h;
constexpr Milliseconds fewest = 6h;
constexpr Milliseconds bin = 10min;
constexpr std::array time_constants_h{1.0, 2.0, 3.0, 4.0, 6.0, 8.0, 10.0, 12.0};
/// Less than this may be anything (our judgement).
constexpr double least_mv = 10;
/// The decay leaves so much less of the squared deviations than a straight line.
constexpr double better_than_line = 0.3;

struct Bins {
    std::vector<double> hour;
    std::vector<double> value;
};

Bins bins_of(const Column<Instant>& time, const Column<double>& value, std::size_t start) {
    Bins bins;
    std::vector<double> values;
    const Instant origin = time[start];
    for (std::size_t end = start; end < time.size() && time[end] - origin < looked_at;) {
        const Instant first = time[end];
        Instant last = first;
        values.clear();
        for (; end < time.size() && time[end] - first < bin; ++end) {
            values.push_back(value[end]);
            last = time[end];
        }
        bins.hour.push_back(seconds_between(origin, first + (last - first) / 2) / 3600);
        bins.value.push_back(median_in_place(values));
    }
    return bins;
}

/// The reading that a refit's decay begins with: where it may have been at any time of a day, the
/// one after the day's longest silence, in which the boat was out of the water.
std::size_t first_after(const WhenDone& when, const Column<Instant>& time) {
    const std::size_t first = first_from(time, when.earliest);
    const std::size_t end = first_from(time, when.latest + Milliseconds{1});
    auto longest = Milliseconds{bin};
    std::size_t start = first;
    for (std::size_t i = std::max<std::size_t>(first, 1); i < std::min(end + 1, time.size()); ++i) {
        const Milliseconds silence = time[i] - time[i - 1];
        if (silence <= longest) continue;
        longest = silence;
        start = i;
    }
    return start;
}

std::string decay_text(const Settling& decay) {
    return fmt::format("settles by {:.0f} mV within some {:.0f} h", decay.size_mv,
                       3 * decay.time_constant_h);
}

SettlingTime after(const Refit& refit, const Column<Instant>& time,
                   const Column<double>& value_mv) {
    const std::size_t start = first_after(refit.when, time);
    SettlingTime found{time[start], refit.when.latest + settles_for,
                       fmt::format("{} {}", refit.what, refit.when.text),
                       settling_of(time, value_mv, start)};
    if (found.decay) found.why += fmt::format(", and the potential {}", decay_text(*found.decay));
    return found;
}

} // namespace

double Settling::at_mv(Instant time) const {
    if (time < from) return 0;
    return size_mv * std::exp(-seconds_between(from, time) / 3600 / time_constant_h);
}

std::optional<Settling> settling_of(const Column<Instant>& time, const Column<double>& value_mv,
                                    std::size_t start) {
    if (start >= time.size() || time.back() - time[start] < fewest) return std::nullopt;
    const Bins bins = bins_of(time, value_mv, start);
    const auto rows = static_cast<Eigen::Index>(bins.hour.size());
    const Eigen::Map<const Eigen::VectorXd> value(bins.value.data(), rows);
    const Eigen::Map<const Eigen::ArrayXd> hour(bins.hour.data(), rows);
    Eigen::MatrixXd design(rows, 2);
    design.col(0).setOnes();
    design.col(1) = hour;
    const LeastSquares line = least_squares(design, value);
    if (!line.determined) return std::nullopt;

    double least = better_than_line * line.residual.squaredNorm();
    std::optional<Settling> best;
    for (const double constant_h : time_constants_h) {
        design.col(1) = (-hour / constant_h).exp();
        const LeastSquares fit = least_squares(design, value);
        if (!fit.determined || fit.coefficient(1) < least_mv) continue;
        if (fit.residual.squaredNorm() >= least) continue;
        least = fit.residual.squaredNorm();
        best = Settling{time[start], fit.coefficient(1), constant_h};
    }
    return best;
}

std::vector<SettlingTime> settling_times(const Column<Instant>& time,
                                         const Column<double>& value_mv,
                                         std::span<const Refit> refits,
                                         std::span<const std::size_t> beginnings) {
    std::vector<SettlingTime> found;
    if (time.empty()) return found;
    std::vector<Refit> in_order(refits.begin(), refits.end());
    std::ranges::stable_sort(in_order, {}, [](const Refit& refit) { return refit.when.earliest; });
    for (const Refit& refit : in_order) {
        if (refit.when.earliest > time.back()) break;
        SettlingTime next = after(refit, time, value_mv);
        if (next.from >= next.to) continue; // nothing was read in its day
        if (found.empty() || next.from >= found.back().to) {
            found.push_back(std::move(next));
            continue;
        }
        SettlingTime& same = found.back();
        same.to = std::max(same.to, next.to);
        same.why += "; " + next.why;
        if (!same.decay) same.decay = next.decay;
    }
    for (SettlingTime& each : found)
        each.why += fmt::format("; what is read until {} may still settle, and counts for no drift",
                                to_text(each.to));
    for (const std::size_t start : beginnings) {
        const Instant from = time[start];
        if (std::ranges::any_of(
                found, [from](const auto& each) { return from >= each.from && from < each.to; }))
            continue;
        const auto decay = settling_of(time, value_mv, start);
        if (!decay) continue;
        found.push_back({from, from + settles_for,
                         fmt::format("the potential {}, as after launch or with new anodes",
                                     decay_text(*decay)),
                         decay});
    }
    std::ranges::sort(found, {}, &SettlingTime::from);
    return found;
}

} // namespace quaycell
