#include "series/events.h"

#include "series/ac_changes.h"
#include "series/cell_pair.h"
#include "series/disturbances.h"
#include "series/level_events.h"
#include "series/level_steps.h"
#include "series/robust.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace quaycell {

namespace {

using namespace std::chrono_literals;

/// Told: 3 mV and 4 times the noise of a reading (our judgement; below, the cell's own unrest
/// begins). The slow change is that of a tide of 30 mV, and half of it where cycles are taken off.
constexpr StepLimits with_cycles{5, 4, 0.3};
constexpr StepLimits without_cycles{3, 4, 0.15};
/// A step so many readings from a joint is the joint's.
constexpr std::size_t joint_reach = 3;

/// The readings that show the hull, without those between.
struct Shown {
    std::vector<std::size_t> row;
    std::vector<Instant> time;
    std::vector<double> value;
    std::vector<std::size_t> begins; ///< the first value of each deployment
};

Shown shown_of(const Trace& trace, std::span<const double> standard_mv,
               const std::vector<bool>& shows_hull) {
    Shown shown;
    std::size_t joint = 0;
    for (std::size_t i = 0; i < trace.time.size(); ++i) {
        if (!shows_hull[i] || !std::isfinite(standard_mv[i])) continue;
        bool is_first = shown.row.empty();
        for (; joint < trace.joints.size() && trace.joints[joint].first <= i; ++joint)
            is_first = true;
        if (is_first) shown.begins.push_back(shown.row.size());
        shown.row.push_back(i);
        shown.time.push_back(trace.time[i]);
        shown.value.push_back(standard_mv[i]);
    }
    return shown;
}

/// Each deployment has a level of its own, whether a step is seen or not.
std::vector<std::size_t> level_numbers(const Shown& shown, const std::vector<LevelStep>& steps) {
    const std::size_t count = shown.value.size();
    std::vector<std::size_t> numbers(count, 0);
    for (const LevelStep& step : steps)
        ++numbers[step.at];
    for (const std::size_t begin : shown.begins)
        ++numbers[begin];
    for (std::size_t i = 1; i < count; ++i)
        numbers[i] += numbers[i - 1];
    return numbers;
}

class Analysis {
  public:
    Analysis(const Trace& trace, std::span<const double> standard_mv, const Coverage& coverage,
             std::span<const Refit> refits)
        : trace_(trace), interval_(coverage.interval) {
        found_.shows_hull.assign(trace.time.size(), true);
        take_out_disturbances();
        shown_ = shown_of(trace, standard_mv, found_.shows_hull);
        if (!shown_.value.empty()) {
            take_off_what_is_slow(refits);
            find_levels();
        }
        std::ranges::move(cells_that_part(trace, found_.shows_hull),
                          std::back_inserter(found_.events));
        std::ranges::stable_sort(found_.events, {}, &Event::time);
        find_shore_power();
        find_undisturbed();
    }

    Happenings found() && { return std::move(found_); }

  private:
    void take_out_disturbances() {
        const bool lead_told = std::ranges::any_of(trace_.events, [](const Event& event) {
            return event.kind == EventKind::open_lead || event.kind == EventKind::cell_dry;
        });
        for (const Disturbance& disturbance : disturbances_of(trace_, interval_)) {
            std::fill(found_.shows_hull.begin() + static_cast<std::ptrdiff_t>(disturbance.first),
                      found_.shows_hull.begin() + static_cast<std::ptrdiff_t>(disturbance.end),
                      false);
            // The logger's own looks at the lead are events already.
            if (lead_told && disturbance.kind == EventKind::open_lead) continue;
            const Instant last = trace_.time[disturbance.end - 1];
            found_.events.push_back({trace_.time[disturbance.first], disturbance.kind,
                                     missing_value,
                                     fmt::format("{}, until {}", disturbance.why, to_text(last))});
        }
    }

    /// Steps hide cycles and cycles hide steps: the plain steps first, then the cycles between
    /// them, then the decay of a new anode.
    void take_off_what_is_slow(std::span<const Refit> refits) {
        const std::vector<LevelStep> plain =
            level_steps(shown_.time, shown_.value, interval_, with_cycles);
        found_.cycles = cycles_of(shown_.time, shown_.value, level_numbers(shown_, plain));
        for (std::size_t i = 0; i < shown_.value.size(); ++i)
            shown_.value[i] -= found_.cycles.at_mv(shown_.time[i]);
        std::vector<double> without_steps = shown_.value;
        double raised = 0;
        std::size_t next = 0;
        for (std::size_t i = 0; i < without_steps.size(); ++i) {
            while (next < plain.size() && plain[next].at == i)
                raised += plain[next++].height;
            without_steps[i] -= raised;
        }
        settles_ = settling_times(shown_.time, without_steps, refits, shown_.begins);
        for (const SettlingTime& each : settles_) {
            found_.events.push_back({each.from, EventKind::settling,
                                     each.decay ? -each.decay->size_mv : missing_value, each.why});
            if (!each.decay) continue;
            found_.settling.push_back(*each.decay);
            for (std::size_t i = 0; i < shown_.value.size(); ++i)
                shown_.value[i] -= each.decay->at_mv(shown_.time[i]);
        }
    }

    /// By how much the level differs beyond a joint, from the values of an hour on either side.
    double across_mv(std::size_t begin) const {
        const auto level = [&](std::size_t nearest, int direction) {
            std::vector<double> values;
            for (std::size_t i = nearest;
                 i < shown_.value.size() && // beyond 0 it wraps round
                 std::chrono::abs(shown_.time[i] - shown_.time[nearest]) <= 1h;
                 i += static_cast<std::size_t>(direction))
                values.push_back(shown_.value[i]);
            return median_of(std::move(values));
        };
        return level(begin, 1) - level(begin - 1, -1);
    }

    /// A step where another deployment begins is the joint's, and nobody's event.
    void tell_joints() {
        for (const std::size_t begin : shown_.begins) {
            if (begin == 0) continue;
            for (LevelStep& step : steps_) {
                if (step.at + joint_reach < begin || step.at > begin + joint_reach) continue;
                step.at = begin;
                step.in_silence = true;
            }
            const auto joint =
                std::ranges::upper_bound(trace_.joints, shown_.row[begin], {}, &Joint::first) - 1;
            const double height_mv = across_mv(begin);
            found_.events.push_back(
                {trace_.time[joint->first], EventKind::restart, height_mv,
                 fmt::format("{} begins: logger or cell may hang elsewhere than before; that it "
                             "reads {:.1f} mV {} negative may be theirs and not the hull's",
                             joint->what, std::abs(height_mv), height_mv > 0 ? "less" : "more")});
        }
    }

    void find_levels() {
        steps_ = level_steps(shown_.time, shown_.value, interval_, without_cycles);
        tell_joints();
        std::vector<TimedStep> timed;
        std::vector<std::size_t> told;
        for (std::size_t i = 0; i < steps_.size(); ++i) {
            if (steps_[i].in_silence) continue;
            timed.push_back({shown_.time[steps_[i].at], steps_[i].height});
            told.push_back(i);
        }
        const std::vector<AcChange> ac = ac_changes(trace_, found_.shows_hull, interval_);
        LevelEvents events = level_events(timed, ac, noise_of(shown_.value), interval_);
        std::ranges::move(events.events, std::back_inserter(found_.events));
        loads_ = std::move(events.loads);
        meaning_.assign(steps_.size(), {EventKind::gap});
        for (std::size_t k = 0; k < told.size(); ++k)
            meaning_[told[k]] = events.meaning[k];
    }

    void find_shore_power() {
        found_.shore_power.assign(trace_.time.size(), ShorePower::unknown);
        ShorePower state = ShorePower::unknown;
        std::size_t row = 0, joint = 0;
        const auto up_to = [&](Instant time) {
            while (row < trace_.time.size() && trace_.time[row] < time)
                found_.shore_power[row++] = state;
        };
        // Between two deployments anything may have been plugged and unplugged.
        const auto up_to_joint = [&] {
            up_to(trace_.time[trace_.joints[joint++].first]);
            state = ShorePower::unknown;
        };
        for (const Event& event : found_.events) {
            while (joint < trace_.joints.size() &&
                   trace_.time[trace_.joints[joint].first] <= event.time)
                up_to_joint();
            const bool on = event.kind == EventKind::shore_power_on;
            if (!on && event.kind != EventKind::shore_power_off) continue;
            // What it was before the first change is the opposite of what it became.
            if (state == ShorePower::unknown)
                state = on ? ShorePower::unplugged : ShorePower::plugged;
            up_to(event.time);
            state = on ? ShorePower::plugged : ShorePower::unplugged;
        }
        while (joint < trace_.joints.size())
            up_to_joint();
        while (row < trace_.time.size())
            found_.shore_power[row++] = state;
    }

    ShorePower usual_shore_power() const {
        std::size_t plugged = 0, unplugged = 0;
        for (const ShorePower each : found_.shore_power) {
            plugged += each == ShorePower::plugged;
            unplugged += each == ShorePower::unplugged;
        }
        return plugged > unplugged ? ShorePower::plugged : ShorePower::unplugged;
    }

    bool under_load(Instant time) const {
        return std::ranges::any_of(
            loads_, [time](const auto& load) { return time >= load.first && time <= load.second; });
    }

    bool settles(Instant time) const {
        return std::ranges::any_of(
            settles_, [time](const auto& each) { return time >= each.from && time < each.to; });
    }

    void find_undisturbed() {
        found_.undisturbed_mv.assign(trace_.time.size(), missing_value);
        found_.undisturbed_level.assign(trace_.time.size(), 0);
        const ShorePower usual = usual_shore_power();
        std::size_t level = 0, next = 0, refit = 0, begin = 0, row = 0;
        for (std::size_t i = 0; i < shown_.row.size(); ++i) {
            while (row < shown_.row[i])
                found_.undisturbed_level[row++] = level;
            for (; next < steps_.size() && steps_[next].at == i; ++next)
                level += meaning_[next].kind == EventKind::step || steps_[next].in_silence;
            for (; begin < shown_.begins.size() && shown_.begins[begin] == i; ++begin)
                ++level;
            for (; refit < settles_.size() && settles_[refit].from <= shown_.time[i]; ++refit)
                ++level;
            const ShorePower now = found_.shore_power[row];
            const bool usually = now == ShorePower::unknown || now == usual;
            if (usually && !under_load(shown_.time[i]) && !settles(shown_.time[i]))
                found_.undisturbed_mv[row] = shown_.value[i];
        }
        while (row < trace_.time.size())
            found_.undisturbed_level[row++] = level;
    }

    const Trace& trace_;
    Milliseconds interval_;
    Shown shown_;
    std::vector<LevelStep> steps_;
    std::vector<StepMeaning> meaning_;
    std::vector<SettlingTime> settles_;
    std::vector<std::pair<Instant, Instant>> loads_;
    Happenings found_;
};

} // namespace

Happenings happenings_of(const Trace& trace, std::span<const double> standard_mv,
                         const Coverage& coverage, std::span<const Refit> refits) {
    return Analysis(trace, standard_mv, coverage, refits).found();
}

} // namespace quaycell
