#include "series/repeated_loads.h"

#include "series/robust.h"

#include <algorithm>
#include <cmath>
#include <tuple>

namespace quaycell {

namespace {

constexpr std::size_t fewest_pulses = 3;
constexpr double beside_height = 0.25;
constexpr double between_height = 0.4;
/// A step keeps to the period when it is off by no more of it.
constexpr double on_time = 0.3;

/// Quartiles, from beginning to beginning.
std::pair<Milliseconds, Milliseconds> usual_periods(const std::vector<Pulse>& group) {
    std::vector<Milliseconds> apart;
    for (std::size_t i = 1; i < group.size(); ++i)
        apart.push_back(group[i].begin - group[i - 1].begin);
    std::ranges::sort(apart);
    return {apart[apart.size() / 4], apart[apart.size() * 3 / 4]};
}

RepeatedLoad load_of(const std::vector<Pulse>& group) {
    RepeatedLoad load{};
    std::vector<double> heights, lengths;
    for (const Pulse& pulse : group) {
        heights.push_back(pulse.height_mv);
        lengths.push_back(static_cast<double>(pulse.length.count()));
        load.steps.insert(load.steps.end(), {pulse.on, pulse.off});
    }
    load.pulses = group.size();
    load.height_mv = median_of(std::move(heights));
    load.length = Milliseconds{std::llround(median_of(std::move(lengths)))};
    load.period = period_of(group);
    std::tie(load.shortest_period, load.longest_period) = usual_periods(group);
    std::ranges::sort(load.steps);
    return load;
}

/// Gives a load those of the steps that no load has: the ones that keep its time.
class Completion {
  public:
    Completion(RepeatedLoad& load, std::span<const TimedStep> steps, std::vector<bool>& taken,
               double noise_mv, Milliseconds interval)
        : load_(load), all_(steps), taken_(taken), noise_mv_(noise_mv), interval_(interval) {
        take_at_the_ends();
        std::ranges::sort(load_.steps);
        take_between();
        std::ranges::sort(load_.steps);
        // It is switched on first. Where the rests looked like the pulses, the other way round:
        if (all_[load_.steps.front()].height_mv * load_.height_mv < 0) {
            load_.height_mv = -load_.height_mv;
            load_.length = load_.period - load_.length;
        }
    }

  private:
    bool is_as_high(std::size_t step, double tolerated) const {
        return std::abs(std::abs(all_[step].height_mv) - std::abs(load_.height_mv)) <=
               height_tolerance(load_.height_mv, noise_mv_, tolerated);
    }
    bool switches_on(std::size_t step) const { return all_[step].height_mv * load_.height_mv > 0; }

    bool is_on_time(Milliseconds apart, Milliseconds expected) const {
        return std::chrono::abs(apart - expected) <=
               length_tolerance(load_.period, on_time, interval_);
    }

    /// Whether a step the other way is as long after another as this load's are.
    bool keeps_time(std::size_t earlier, std::size_t later) const {
        if (switches_on(earlier) == switches_on(later)) return false;
        const Milliseconds expected =
            switches_on(earlier) ? load_.length : load_.period - load_.length;
        return is_on_time(all_[later].time - all_[earlier].time, expected);
    }

    void take(std::size_t step) {
        taken_[step] = true;
        load_.steps.push_back(step);
    }

    void take_at_the_ends() {
        std::size_t first = load_.steps.front(), last = load_.steps.back();
        for (std::size_t i = first; i-- > 0;) {
            if (taken_[i]) continue;
            if (!is_as_high(i, beside_height) || !keeps_time(i, first)) break;
            take(first = i);
        }
        for (std::size_t i = last + 1; i < all_.size(); ++i) {
            if (taken_[i]) continue;
            if (!is_as_high(i, beside_height) || !keeps_time(last, i)) break;
            take(last = i);
        }
    }

    /// Where a pulse is missing: whole periods after the one before.
    void take_between() {
        const std::vector<std::size_t> own = load_.steps;
        for (std::size_t k = 0; k + 1 < own.size(); ++k) {
            const Instant from = all_[own[k]].time;
            if (all_[own[k + 1]].time - from <= load_.period) continue;
            for (std::size_t i = own[k] + 1; i < own[k + 1]; ++i) {
                if (taken_[i] || !is_as_high(i, between_height)) continue;
                const Milliseconds shift =
                    switches_on(i) == switches_on(own[k])
                        ? Milliseconds{0}
                        : (switches_on(i) ? load_.period - load_.length : load_.length);
                const auto periods =
                    (all_[i].time - from - shift + load_.period / 2) / load_.period;
                if (periods >= 0 && is_on_time(all_[i].time - from, shift + periods * load_.period))
                    take(i);
            }
        }
    }

    RepeatedLoad& load_;
    std::span<const TimedStep> all_;
    std::vector<bool>& taken_;
    double noise_mv_;
    Milliseconds interval_;
};

class Search {
  public:
    Search(std::span<const TimedStep> steps, double noise_mv, Milliseconds interval)
        : steps_(steps), noise_mv_(noise_mv), interval_(interval), taken_(steps.size(), false) {
        std::vector<Pulse> waiting = pulses_of(steps_, taken_, noise_mv_);
        while (waiting.size() >= fewest_pulses) {
            std::vector<Pulse> group = group_from_first(waiting);
            if (group.size() < fewest_pulses) {
                waiting.erase(waiting.begin());
                continue;
            }
            mark(group, true);
            add(std::move(group));
            // Without its steps others show whose pulses had them within.
            waiting = pulses_of(steps_, taken_, noise_mv_);
        }
    }

    std::vector<RepeatedLoad> loads() && {
        std::vector<RepeatedLoad> loads;
        for (const std::vector<Pulse>& group : groups_)
            loads.push_back(load_of(group));
        for (RepeatedLoad& load : loads)
            Completion(load, steps_, taken_, noise_mv_, interval_);
        std::ranges::sort(loads, {}, [](const RepeatedLoad& load) { return load.steps.front(); });
        return loads;
    }

  private:
    void mark(const std::vector<Pulse>& group, bool taken) {
        for (const Pulse& pulse : group)
            taken_[pulse.on] = taken_[pulse.off] = taken;
    }

    /// Steps that nothing takes back once the group is gone.
    std::size_t left_alone(const std::vector<Pulse>& group) {
        mark(group, true);
        std::vector<bool> paired = taken_;
        for (const Pulse& pulse : pulses_of(steps_, taken_, noise_mv_))
            paired[pulse.on] = paired[pulse.off] = true;
        mark(group, false);
        return static_cast<std::size_t>(std::ranges::count(paired, false));
    }

    /// The time between two pulses looks like a pulse the other way round. What leaves fewer steps
    /// without a partner is the load; then what there is more of; of as many, what is shorter:
    /// pumps rest longer than they run.
    std::vector<Pulse> group_from_first(const std::vector<Pulse>& waiting) {
        std::vector<Pulse> group = group_of(waiting, 0, noise_mv_, interval_);
        const auto rest = std::ranges::find(waiting, waiting.front().off, &Pulse::on);
        if (rest == waiting.end()) return group;
        const auto place = static_cast<std::size_t>(rest - waiting.begin());
        std::vector<Pulse> other = group_of(waiting, place, noise_mv_, interval_);
        if (other.size() < fewest_pulses) return group;
        if (group.size() < fewest_pulses) return other;
        const auto rank = [this](const std::vector<Pulse>& each) {
            return std::tuple(left_alone(each), -static_cast<std::int64_t>(each.size()),
                              each.front().length);
        };
        return rank(other) < rank(group) ? other : group;
    }

    /// What was hidden at first may be more of a load that is known, and so may what lies between
    /// its pulses, of about their height, if only both together are regular.
    bool is_more_of(const std::vector<Pulse>& known, const std::vector<Pulse>& group) const {
        const bool lie_in_each_other =
            group.front().begin < known.back().begin && known.front().begin < group.back().begin;
        if (!lie_in_each_other) return false;
        if (is_alike(group.front(), known.front(), noise_mv_, interval_)) return true;
        const RepeatedLoad one = load_of(known), other = load_of(group);
        const RepeatedLoad both = load_of(merged(known, group));
        return std::abs(one.height_mv - other.height_mv) <=
                   height_tolerance(one.height_mv, noise_mv_, beside_height) &&
               std::chrono::abs(one.length - other.length) <=
                   length_tolerance(one.length, on_time, interval_) &&
               both.is_regular() && !(one.is_regular() && other.is_regular());
    }

    static std::vector<Pulse> merged(std::vector<Pulse> one, const std::vector<Pulse>& other) {
        one.insert(one.end(), other.begin(), other.end());
        std::ranges::sort(one, {}, &Pulse::on);
        return one;
    }

    void add(std::vector<Pulse> group) {
        const auto known = std::ranges::find_if(
            groups_, [&](const std::vector<Pulse>& each) { return is_more_of(each, group); });
        if (known == groups_.end())
            groups_.push_back(std::move(group));
        else
            *known = merged(*known, group);
    }

    std::span<const TimedStep> steps_;
    double noise_mv_;
    Milliseconds interval_;
    std::vector<bool> taken_;
    std::vector<std::vector<Pulse>> groups_;
};

} // namespace

bool RepeatedLoad::is_regular() const {
    constexpr std::int64_t thirds = 3, halves = 2;
    return halves * longest_period <= thirds * shortest_period;
}

std::vector<RepeatedLoad> repeated_loads(std::span<const TimedStep> steps, double noise_mv,
                                         Milliseconds interval) {
    return Search(steps, noise_mv, interval).loads();
}

} // namespace quaycell
