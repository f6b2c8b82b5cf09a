#include "series/level_events.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace quaycell {

namespace {

using namespace std::chrono_literals;

constexpr int together_readings = 3;
/// A level is known again within so many mV, or so many times the noise of a reading.
constexpr double known_again_mv = 4;
constexpr double known_again_noises = 1.5;
/// Where AC never tells anything, a plateau counts as shore power only where it is so high and so
/// long (our judgement): it lies toward the dock, which is less negative.
constexpr double plateau_mv = 15;
constexpr Milliseconds plateau_time = 1h;

std::string height_text(double height_mv) {
    return fmt::format("{:.1f} mV {} negative", std::abs(height_mv),
                       height_mv > 0 ? "less" : "more");
}

std::string ac_text(const AcChange& change) {
    return fmt::format("AC from {:.0f} to {:.0f} mV", change.before_mv, change.after_mv);
}

std::string length_text(Milliseconds length) {
    return to_text(std::chrono::round<std::chrono::seconds>(length));
}

/// The median says nothing of what comes at all distances.
std::string period_text(const RepeatedLoad& load) {
    if (load.is_regular()) return fmt::format("every {}", length_text(load.period));
    return fmt::format("mostly {} to {} from one to the next", length_text(load.shortest_period),
                       length_text(load.longest_period));
}

class Interpretation {
  public:
    Interpretation(std::span<const TimedStep> steps, std::span<const AcChange> ac, double noise_mv,
                   Milliseconds interval)
        : steps_(steps), ac_(ac), noise_mv_(noise_mv), interval_(interval),
          told_(steps.size(), false), ac_told_(ac.size(), false) {
        found_.meaning.assign(steps.size(), {EventKind::step});
        pair_with_ac();
        find_loads();
        drop_slips();
        if (ac.empty())
            find_plateaus();
        else
            find_returns();
        tell_the_rest();
        std::ranges::stable_sort(found_.events, {}, &Event::time);
    }

    LevelEvents found() && { return std::move(found_); }

  private:
    void tell(std::size_t step, EventKind kind, std::string why) {
        told_[step] = true;
        found_.meaning[step].kind = kind;
        found_.events.push_back({steps_[step].time, kind, steps_[step].height_mv, std::move(why)});
    }

    bool is_known_again(double level_mv, double known_mv) const {
        return std::abs(level_mv - known_mv) <=
               std::max(known_again_mv, known_again_noises * noise_mv_);
    }

    void pair_with_ac() {
        const Milliseconds together = together_readings * std::max(interval_, Milliseconds{1s});
        for (std::size_t k = 0; k < ac_.size(); ++k) {
            std::optional<std::size_t> nearest;
            const auto away = [&](std::size_t i) {
                return std::chrono::abs(steps_[i].time - ac_[k].time);
            };
            for (std::size_t i = 0; i < steps_.size(); ++i)
                if (!told_[i] && away(i) <= together && (!nearest || away(i) < away(*nearest)))
                    nearest = i;
            if (!nearest) continue;
            ac_told_[k] = true;
            tell(*nearest, ac_[k].rises() ? EventKind::shore_power_on : EventKind::shore_power_off,
                 fmt::format("{}, together with {}", height_text(steps_[*nearest].height_mv),
                             ac_text(ac_[k])));
        }
    }

    void find_loads() {
        std::vector<TimedStep> left;
        std::vector<std::size_t> index;
        for (std::size_t i = 0; i < steps_.size(); ++i) {
            if (told_[i]) continue;
            left.push_back(steps_[i]);
            index.push_back(i);
        }
        for (const RepeatedLoad& load : repeated_loads(left, noise_mv_, interval_)) {
            const std::size_t first = index[load.steps.front()];
            const Instant from = steps_[first].time;
            const Instant to = steps_[index[load.steps.back()]].time;
            found_.loads.emplace_back(from, to);
            for (const std::size_t step : load.steps)
                belongs_to_load(index[step]);
            found_.meaning[first].of_load = true;
            found_.events.push_back(
                {from, EventKind::repeated_load, load.height_mv,
                 fmt::format(
                     "{} times {}, for {} each, {}, the last until {}: as a pump or a charger "
                     "aboard does",
                     load.pulses, height_text(load.height_mv), length_text(load.length),
                     period_text(load), to_text(to))});
        }
    }

    void belongs_to_load(std::size_t step) {
        told_[step] = true;
        found_.meaning[step] = {EventKind::repeated_load, true};
    }

    /// There and back within two readings, once or twice: nobody could say that it was more than a
    /// slip.
    void drop_slips() {
        for (std::size_t i = 0; i + 1 < steps_.size(); ++i) {
            if (told_[i] || told_[i + 1]) continue;
            const double left_mv = steps_[i].height_mv + steps_[i + 1].height_mv;
            if (2 * (steps_[i + 1].time - steps_[i].time) > 5 * interval_) continue;
            if (std::abs(left_mv) > std::abs(steps_[i].height_mv) / 2) continue;
            for (const std::size_t step : {i, i + 1}) {
                told_[step] = true;
                found_.meaning[step].kind = EventKind::gap;
            }
        }
    }

    /// Unplugged, told by the level alone: all steps since shore power came add up to nothing. A
    /// slow drift in between does not matter.
    void find_returns() {
        std::optional<double> since_on_mv;
        for (std::size_t i = 0; i < steps_.size(); ++i) {
            const EventKind kind = found_.meaning[i].kind;
            if (since_on_mv) *since_on_mv += steps_[i].height_mv;
            if (told_[i]) {
                if (kind == EventKind::shore_power_on) since_on_mv = steps_[i].height_mv;
                if (kind == EventKind::shore_power_off) since_on_mv.reset();
                continue;
            }
            if (!since_on_mv || !is_known_again(*since_on_mv, 0)) continue;
            if (is_unplugged_later(i)) continue;
            tell(i, EventKind::shore_power_off,
                 fmt::format("{}, back at the level before shore power was plugged in; AC did not "
                             "change with it: that the cord was unplugged is inferred",
                             height_text(steps_[i].height_mv)));
            since_on_mv.reset();
        }
    }

    /// Whether the next that is known of shore power is its end: then it was there until then.
    bool is_unplugged_later(std::size_t step) const {
        for (std::size_t i = step + 1; i < steps_.size(); ++i) {
            const EventKind kind = found_.meaning[i].kind;
            if (kind == EventKind::shore_power_on || kind == EventKind::shore_power_off)
                return told_[i] && kind == EventKind::shore_power_off;
        }
        return false;
    }

    void find_plateaus() {
        for (std::size_t i = 0; i + 1 < steps_.size(); ++i) {
            if (told_[i] || told_[i + 1]) continue;
            const bool there_and_back =
                steps_[i].height_mv >= plateau_mv &&
                is_known_again(steps_[i].height_mv, -steps_[i + 1].height_mv) &&
                steps_[i + 1].time - steps_[i].time >= plateau_time;
            if (!there_and_back) continue;
            tell(i, EventKind::shore_power_on,
                 fmt::format("{}, for {} and back; no change of AC was seen: plugging in shore "
                             "power would do so, and it is inferred",
                             height_text(steps_[i].height_mv),
                             length_text(steps_[i + 1].time - steps_[i].time)));
            tell(i + 1, EventKind::shore_power_off,
                 fmt::format("{}, back at the level before; no change of AC was seen: unplugging "
                             "shore power would do so, and it is inferred",
                             height_text(steps_[i + 1].height_mv)));
        }
    }

    void tell_the_rest() {
        for (std::size_t i = 0; i < steps_.size(); ++i)
            if (!told_[i])
                tell(i, EventKind::step,
                     fmt::format("{}, without a change of AC and not regular",
                                 height_text(steps_[i].height_mv)));
        for (std::size_t k = 0; k < ac_.size(); ++k)
            if (!ac_told_[k])
                found_.events.push_back(
                    {ac_[k].time, ac_[k].rises() ? EventKind::ac_rise : EventKind::ac_fall,
                     missing_value, ac_text(ac_[k]) + ", and the potential stays"});
    }

    std::span<const TimedStep> steps_;
    std::span<const AcChange> ac_;
    double noise_mv_;
    Milliseconds interval_;
    std::vector<bool> told_;
    std::vector<bool> ac_told_;
    LevelEvents found_;
};

} // namespace

LevelEvents level_events(std::span<const TimedStep> steps, std::span<const AcChange> ac,
                         double noise_mv, Milliseconds interval) {
    return Interpretation(steps, ac, noise_mv, interval).found();
}

} // namespace quaycell
