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
constexpr double paired_height = 0.2;
constexpr double beside_height = 0.25;
constexpr double between_height = 0.4;
constexpr double alike_length = 0.3;
constexpr double alike_noises = 2;
constexpr double alike_mv = 1.5;
/// After so many periods without a pulse it is another load, or the same one begins anew.
constexpr int periods_to_end = 4;
/// A step keeps to the period when it is off by no more of it.
constexpr double on_time = 0.3;

struct Pulse {
    std::size_t step;
    Instant begin;
    double height_mv;
    Milliseconds length;
};

double height_tolerance(double height_mv, double noise_mv, double share) {
    return std::max({share * std::abs(height_mv), alike_noises * noise_mv, alike_mv});
}

Milliseconds length_tolerance(Milliseconds length, double share, Milliseconds interval) {
    const auto part =
        Milliseconds{static_cast<std::int64_t>(share * static_cast<double>(length.count()))};
    return std::max(part, 2 * interval);
}

std::vector<Pulse> pulses_of(std::span<const TimedStep> steps, double noise_mv) {
    std::vector<Pulse> pulses;
    for (std::size_t i = 0; i + 1 < steps.size(); ++i) {
        const TimedStep &up = steps[i], &down = steps[i + 1];
        const Milliseconds length = down.time - up.time;
        if (length > longest_pulse || up.height_mv * down.height_mv >= 0) continue;
        const double height_mv = (up.height_mv - down.height_mv) / 2;
        if (std::abs(up.height_mv + down.height_mv) >
            2 * height_tolerance(height_mv, noise_mv, paired_height))
            continue;
        pulses.push_back({i, up.time, height_mv, length});
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

void end_at_silence(std::vector<Pulse>& group) {
    const Milliseconds silence = periods_to_end * period_of(group);
    const auto anew = std::ranges::adjacent_find(
        group, [silence](const Pulse& a, const Pulse& b) { return b.begin - a.begin > silence; });
    if (anew != group.end()) group.erase(anew + 1, group.end());
}

/// Those from `first` on that are like it.
std::vector<Pulse> group_of(const std::vector<Pulse>& pulses, std::size_t first, double noise_mv,
                            Milliseconds interval) {
    const Pulse& model = pulses[first];
    const double height = height_tolerance(model.height_mv, noise_mv, alike_height);
    const Milliseconds length = length_tolerance(model.length, alike_length, interval);
    std::vector<Pulse> group;
    for (std::size_t i = first; i < pulses.size(); ++i) {
        const Pulse& pulse = pulses[i];
        const bool is_alike = std::abs(pulse.height_mv - model.height_mv) <= height &&
                              std::chrono::abs(pulse.length - model.length) <= length;
        // A step belongs to one pulse only.
        const bool is_free = group.empty() || pulse.step >= group.back().step + 2;
        if (is_alike && is_free) group.push_back(pulse);
    }
    end_at_silence(group);
    return group;
}

class Load {
  public:
    /// `taken` are the steps of other loads.
    Load(const std::vector<Pulse>& group, std::span<const TimedStep> steps,
         const std::vector<bool>& taken, double noise_mv, Milliseconds interval)
        : all_(steps), taken_(taken), noise_mv_(noise_mv), interval_(interval) {
        std::vector<double> heights;
        for (const Pulse& pulse : group) {
            heights.push_back(pulse.height_mv);
            load_.steps.insert(load_.steps.end(), {pulse.step, pulse.step + 1});
        }
        load_.pulses = group.size();
        load_.height_mv = median_of(std::move(heights));
        load_.length = median_time(group, [&](std::size_t i) { return group[i].length; });
        load_.period = period_of(group);
        take_what_keeps_time();
        // It is switched on first. Where the rests looked like the pulses, the other way round:
        if (all_[load_.steps.front()].height_mv * load_.height_mv < 0) {
            load_.height_mv = -load_.height_mv;
            load_.length = load_.period - load_.length;
        }
    }

    RepeatedLoad found() && { return std::move(load_); }

  private:
    bool is_free_and_as_high(std::size_t step, double tolerated) const {
        return !taken_[step] &&
               std::abs(std::abs(all_[step].height_mv) - std::abs(load_.height_mv)) <=
                   height_tolerance(load_.height_mv, noise_mv_, tolerated);
    }

    /// Whether a step the other way is as long after another as this load's are.
    bool keeps_time(std::size_t earlier, std::size_t later) const {
        if (all_[earlier].height_mv * all_[later].height_mv > 0) return false;
        const bool switched_on = all_[earlier].height_mv * load_.height_mv > 0;
        const Milliseconds expected = switched_on ? load_.length : load_.period - load_.length;
        const Milliseconds apart = all_[later].time - all_[earlier].time;
        return std::chrono::abs(apart - expected) <=
               length_tolerance(load_.period, on_time, interval_);
    }

    void take_what_keeps_time() {
        std::vector<std::size_t>& own = load_.steps;
        std::size_t first = own.front(), last = own.back();
        while (first > 0 && is_free_and_as_high(first - 1, beside_height) &&
               keeps_time(first - 1, first))
            --first;
        while (last + 1 < all_.size() && is_free_and_as_high(last + 1, beside_height) &&
               keeps_time(last, last + 1))
            ++last;
        for (std::size_t i = first; i <= last; ++i)
            if (is_free_and_as_high(i, between_height)) own.push_back(i);
        std::ranges::sort(own);
        own.erase(std::unique(own.begin(), own.end()), own.end());
    }

    std::span<const TimedStep> all_;
    const std::vector<bool>& taken_;
    double noise_mv_;
    Milliseconds interval_;
    RepeatedLoad load_{};
};

} // namespace

std::vector<RepeatedLoad> repeated_loads(std::span<const TimedStep> steps, double noise_mv,
                                         Milliseconds interval) {
    std::vector<Pulse> waiting = pulses_of(steps, noise_mv);
    std::vector<RepeatedLoad> loads;
    std::vector<bool> taken(steps.size(), false);
    while (waiting.size() >= fewest_pulses) {
        std::vector<Pulse> group = group_of(waiting, 0, noise_mv, interval);
        // The time between two pulses looks like a pulse the other way round. What there is more of
        // is the load; of as many, what is shorter: pumps rest longer than they run.
        if (waiting[1].step == waiting[0].step + 1)
            if (std::vector<Pulse> other = group_of(waiting, 1, noise_mv, interval);
                other.size() > group.size() ||
                (other.size() == group.size() && other.front().length < group.front().length))
                group = std::move(other);
        if (group.size() < fewest_pulses) {
            waiting.erase(waiting.begin());
            continue;
        }
        loads.push_back(Load(group, steps, taken, noise_mv, interval).found());
        for (const std::size_t step : loads.back().steps)
            taken[step] = true;
        std::erase_if(waiting, [&](const Pulse& pulse) {
            return taken[pulse.step] || taken[pulse.step + 1];
        });
    }
    std::ranges::sort(loads, {}, [](const RepeatedLoad& load) { return load.steps.front(); });
    return loads;
}

} // namespace quaycell
