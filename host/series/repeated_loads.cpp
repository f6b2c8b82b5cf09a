#include "series/repeated_loads.h"

#include "series/robust.h"

#include <algorithm>
#include <cmath>

namespace quaycell {

namespace {

using namespace std::chrono_literals;

constexpr Milliseconds longest_pulse = 3h;
constexpr std::size_t fewest_pulses = 3;
constexpr double alike_height = 0.12;
constexpr double alike_noises = 1.5;
constexpr double alike_mv = 1.5;
/// After so many periods without a pulse it is another load, or the same one begins anew.
constexpr int periods_to_end = 4;

struct Pulse {
    std::size_t step;
    Instant begin;
    double height_mv;
    Milliseconds length;
};

double height_tolerance(double height_mv, double noise_mv) {
    return std::max({alike_height * std::abs(height_mv), alike_noises * noise_mv, alike_mv});
}

std::vector<Pulse> pulses_of(std::span<const TimedStep> steps, double noise_mv) {
    std::vector<Pulse> pulses;
    for (std::size_t i = 0; i + 1 < steps.size(); ++i) {
        const TimedStep &up = steps[i], &down = steps[i + 1];
        const Milliseconds length = down.time - up.time;
        if (length > longest_pulse || up.height_mv * down.height_mv >= 0) continue;
        if (std::abs(up.height_mv + down.height_mv) > height_tolerance(up.height_mv, noise_mv))
            continue;
        pulses.push_back({i, up.time, (up.height_mv - down.height_mv) / 2, length});
    }
    return pulses;
}

template <typename Value>
Milliseconds median_time(const std::vector<Pulse>& pulses, Value value) {
    std::vector<double> times;
    for (std::size_t i = 0; i < pulses.size(); ++i)
        if (const Milliseconds each = value(i); each.count() > 0)
            times.push_back(static_cast<double>(each.count()));
    return Milliseconds{times.empty() ? 0 : std::llround(median_of(std::move(times)))};
}

Milliseconds period_of(const std::vector<Pulse>& group) {
    return median_time(group, [&](std::size_t i) {
        return i == 0 ? Milliseconds{0} : group[i].begin - group[i - 1].begin;
    });
}

/// Moves what comes after a long silence from the group to the others.
void end_at_silence(std::vector<Pulse>& group, std::vector<Pulse>& others) {
    const Milliseconds silence = periods_to_end * period_of(group);
    const auto anew = std::ranges::adjacent_find(
        group, [silence](const Pulse& a, const Pulse& b) { return b.begin - a.begin > silence; });
    if (anew == group.end()) return;
    others.insert(others.end(), anew + 1, group.end());
    group.erase(anew + 1, group.end());
    std::ranges::sort(others, {}, &Pulse::step);
}

struct Split {
    std::vector<Pulse> group;
    std::vector<Pulse> others;
};

/// Those that are like the pulse at `first`, and the rest.
Split split_by(const std::vector<Pulse>& pulses, std::size_t first, double noise_mv,
               Milliseconds interval) {
    const Pulse& model = pulses[first];
    const double height = height_tolerance(model.height_mv, noise_mv);
    const Milliseconds length = std::max(model.length / 4, 2 * interval);
    Split split;
    for (std::size_t i = 0; i < pulses.size(); ++i) {
        const Pulse& pulse = pulses[i];
        const bool is_alike = i >= first && std::abs(pulse.height_mv - model.height_mv) <= height &&
                              std::chrono::abs(pulse.length - model.length) <= length;
        // A step belongs to one pulse only.
        const bool is_free = split.group.empty() || pulse.step >= split.group.back().step + 2;
        (is_alike && is_free ? split.group : split.others).push_back(pulse);
    }
    end_at_silence(split.group, split.others);
    return split;
}

RepeatedLoad load_of(const std::vector<Pulse>& group) {
    RepeatedLoad load{};
    std::vector<double> heights;
    for (const Pulse& pulse : group) {
        load.pulses.push_back(pulse.step);
        heights.push_back(pulse.height_mv);
    }
    load.height_mv = median_of(std::move(heights));
    load.length = median_time(group, [&](std::size_t i) { return group[i].length; });
    load.period = period_of(group);
    return load;
}

} // namespace

std::vector<RepeatedLoad> repeated_loads(std::span<const TimedStep> steps, double noise_mv,
                                         Milliseconds interval) {
    std::vector<Pulse> waiting = pulses_of(steps, noise_mv);
    std::vector<RepeatedLoad> loads;
    while (waiting.size() >= fewest_pulses) {
        Split split = split_by(waiting, 0, noise_mv, interval);
        // The time between two pulses looks like a pulse the other way round. What there is more of
        // is the load; of as many, what is shorter: pumps rest longer than they run.
        if (waiting[1].step == waiting[0].step + 1)
            if (Split other = split_by(waiting, 1, noise_mv, interval);
                other.group.size() > split.group.size() ||
                (other.group.size() == split.group.size() &&
                 other.group.front().length < split.group.front().length))
                split = std::move(other);
        if (split.group.size() < fewest_pulses) {
            waiting.erase(waiting.begin());
            continue;
        }
        loads.push_back(load_of(split.group));
        std::erase_if(split.others, [&](const Pulse& pulse) {
            return std::ranges::any_of(split.group, [&](const Pulse& taken) {
                return pulse.step + 1 >= taken.step && pulse.step <= taken.step + 1;
            });
        });
        waiting = std::move(split.others);
    }
    std::ranges::sort(loads, {}, [](const RepeatedLoad& load) { return load.pulses.front(); });
    return loads;
}

} // namespace quaycell
