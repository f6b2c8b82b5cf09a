#include "series/events.h"

#include "series/ac_changes.h"
#include "series/blocks.h"
#include "series/cell_pair.h"
#include "series/disturbances.h"
#include "series/level_events.h"
#include "series/level_steps.h"
#include "series/robust.h"
#include "series/shown.h"
#include "series/slow_change.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <future>

namespace quaycell {

namespace {

using namespace std::chrono_literals;

/// Told: 3 mV and 4 times the noise of a reading (our judgement; below, the cell's own unrest
/// begins). The slow change is that of a tide of 30 mV, and half of it where cycles are taken off.
constexpr StepLimits with_cycles{5, 4, 0.3};
constexpr StepLimits without_cycles{3, 4, 0.15};
/// A step so many readings from a joint is the joint's.
constexpr std::size_t joint_reach = 3;

/// Each deployment has a level of its own, whether a step is seen or not. One number per block.
Column<std::size_t> level_numbers(const Shown& shown, const std::vector<LevelStep>& steps,
                                  const std::vector<Block>& blocks) {
    std::vector<std::size_t> values = shown.begins;
    for (const LevelStep& step : steps)
        values.push_back(step.at);
    std::ranges::sort(values);
    std::vector<std::size_t> places;
    for (const std::size_t value : values)
        places.push_back(static_cast<std::size_t>(
            std::ranges::lower_bound(blocks, value, {}, &Block::first) - blocks.begin()));
    return counted(blocks.size(), std::move(places));
}

/// Tide and day show in the blocks as they do in the values.
Cycles cycles_in(const Shown& shown, const std::vector<LevelStep>& steps,
                 const std::vector<Block>& blocks) {
    std::vector<Instant> time;
    std::vector<double> median;
    for (const Block& block : blocks) {
        time.push_back(block.middle());
        median.push_back(block.median);
    }
    time.front() = shown.time.front(); // the whole length counts
    time.back() = shown.time.back();
    return cycles_of(std::move(time), std::move(median), level_numbers(shown, steps, blocks));
}

/// The values with what each step raised them by taken off.
Column<double> without_steps(const Column<double>& value, const std::vector<LevelStep>& steps) {
    std::vector<std::size_t> places;
    std::vector<double> raised{0};
    for (const LevelStep& step : steps) {
        places.push_back(step.at);
        raised.push_back(raised.back() + step.height);
    }
    return {value.size(), [value, level = counted(value.size(), std::move(places)),
                           raised = std::move(raised)](std::size_t first, std::span<double> out) {
                value.read(first, out);
                for (std::size_t i = 0; i < out.size(); ++i)
                    out[i] -= raised[level[first + i]];
            }};
}

class Analysis {
  public:
    Analysis(const Readings& trace, const Column<double>& standard_mv, const Coverage& coverage,
             std::span<const Refit> refits)
        : trace_(trace), interval_(coverage.interval) {
        found_.shows_hull.assign(trace.time.size(), true);
        take_out_disturbances();
        BlockMaker blocks(trace.time.size(), interval_);
        shown_ = Shown(trace, standard_mv, found_.shows_hull, blocks);
        blocks_ = std::move(blocks).blocks();
        if (shown_.size() != 0) {
            auto ac = std::async(std::launch::async, [this, own = trace_] {
                return ac_changes(own, found_.shows_hull, interval_);
            });
            take_off_what_is_slow(refits);
            find_levels(ac.get());
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
            level_steps(blocks_, shown_.time, shown_.value, interval_, with_cycles);
        found_.cycles = cycles_in(shown_, plain, blocks_.blocks);
        shown_.value = without_cycles_of(shown_.time, shown_.value, found_.cycles);
        settles_ =
            settling_times(shown_.time, without_steps(shown_.value, plain), refits, shown_.begins);
        for (const SettlingTime& each : settles_) {
            found_.events.push_back({each.from, EventKind::settling,
                                     each.decay ? -each.decay->size_mv : missing_value, each.why});
            if (!each.decay) continue;
            found_.settling.push_back(*each.decay);
        }
        shown_.value = without_decays(shown_.time, shown_.value, found_.settling);
        for (Block& block : blocks_.blocks) {
            block.median -= found_.cycles.at_mv(block.middle());
            for (const Settling& decay : found_.settling)
                block.median -= decay.at_mv(block.middle());
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
                std::ranges::upper_bound(trace_.joints, shown_.row_of(begin), {}, &Joint::first) -
                1;
            const double height_mv = across_mv(begin);
            found_.events.push_back(
                {trace_.time[joint->first], EventKind::restart, height_mv,
                 fmt::format("{} begins: logger or cell may hang elsewhere than before; that it "
                             "reads {:.1f} mV {} negative may be theirs and not the hull's",
                             joint->what, std::abs(height_mv), height_mv > 0 ? "less" : "more")});
        }
    }

    void find_levels(const std::vector<AcChange>& ac) {
        steps_ = level_steps(blocks_, shown_.time, shown_.value, interval_, without_cycles);
        tell_joints();
        std::vector<TimedStep> timed;
        std::vector<std::size_t> told;
        for (std::size_t i = 0; i < steps_.size(); ++i) {
            if (steps_[i].in_silence) continue;
            timed.push_back({shown_.time[steps_[i].at], steps_[i].height});
            told.push_back(i);
        }
        LevelEvents events = level_events(timed, ac, blocks_.noise, interval_);
        std::ranges::move(events.events, std::back_inserter(found_.events));
        loads_ = std::move(events.loads);
        meaning_.assign(steps_.size(), {EventKind::gap});
        for (std::size_t k = 0; k < told.size(); ++k)
            meaning_[told[k]] = events.meaning[k];
    }

    void find_shore_power() {
        found_.shore_power.change(0, ShorePower::unknown);
        ShorePower state = ShorePower::unknown;
        std::size_t joint = 0;
        for (const Event& event : found_.events) {
            // Between two deployments anything may have been plugged and unplugged.
            for (; joint < trace_.joints.size() &&
                   trace_.time[trace_.joints[joint].first] <= event.time;
                 ++joint) {
                state = ShorePower::unknown;
                found_.shore_power.change(trace_.joints[joint].first, state);
            }
            const bool on = event.kind == EventKind::shore_power_on;
            if (!on && event.kind != EventKind::shore_power_off) continue;
            // What it was before the first change is the opposite of what it became.
            if (state == ShorePower::unknown)
                found_.shore_power.set_last(on ? ShorePower::unplugged : ShorePower::plugged);
            state = on ? ShorePower::plugged : ShorePower::unplugged;
            found_.shore_power.change(first_from(trace_.time, event.time), state);
        }
        for (; joint < trace_.joints.size(); ++joint)
            found_.shore_power.change(trace_.joints[joint].first, ShorePower::unknown);
    }

    ShorePower usual_shore_power() const {
        std::size_t plugged = 0, unplugged = 0;
        found_.shore_power.each(trace_.time.size(), [&](const Rows& rows, ShorePower state) {
            plugged += state == ShorePower::plugged ? rows.end - rows.first : 0;
            unplugged += state == ShorePower::unplugged ? rows.end - rows.first : 0;
        });
        return plugged > unplugged ? ShorePower::plugged : ShorePower::unplugged;
    }

    /// In which rows the level is not the usual one: in order, none overlapping.
    std::vector<Rows> disturbed_rows() const {
        std::vector<Rows> rows;
        const ShorePower usual = usual_shore_power();
        found_.shore_power.each(trace_.time.size(), [&](const Rows& each, ShorePower state) {
            if (state != ShorePower::unknown && state != usual) rows.push_back(each);
        });
        for (const auto& [from, to] : loads_)
            rows.push_back(
                {first_from(trace_.time, from), first_from(trace_.time, to + Milliseconds{1})});
        for (const SettlingTime& each : settles_)
            rows.push_back({first_from(trace_.time, each.from), first_from(trace_.time, each.to)});
        std::ranges::sort(rows, {}, &Rows::first);
        std::vector<Rows> merged;
        for (const Rows& each : rows) {
            if (!merged.empty() && each.first <= merged.back().end)
                merged.back().end = std::max(merged.back().end, each.end);
            else
                merged.push_back(each);
        }
        return merged;
    }

    void find_undisturbed() {
        const std::vector<Rows> disturbed = disturbed_rows();
        found_.undisturbed_mv = {
            trace_.time.size(), [shown = shown_.by_row(shown_.value),
                                 disturbed](std::size_t first, std::span<double> out) {
                shown.read(first, out);
                const std::size_t end = first + out.size();
                for (auto rows = std::ranges::upper_bound(disturbed, first, {}, &Rows::end);
                     rows != disturbed.end() && rows->first < end; ++rows)
                    for (std::size_t row = std::max(first, rows->first);
                         row < std::min(end, rows->end); ++row)
                        out[row - first] = missing_value;
            }};
        std::vector<std::size_t> places;
        for (std::size_t k = 0; k < steps_.size(); ++k)
            if (meaning_[k].kind == EventKind::step || steps_[k].in_silence)
                places.push_back(shown_.row_of(steps_[k].at));
        for (const std::size_t begin : shown_.begins)
            places.push_back(shown_.row_of(begin));
        for (const SettlingTime& each : settles_)
            if (const std::size_t i = first_from(shown_.time, each.from); i < shown_.size())
                places.push_back(shown_.row_of(i));
        std::ranges::sort(places);
        find_undisturbed_blocks(disturbed, counted(trace_.time.size(), std::move(places)));
    }

    /// As fine as the daily medians of a drift need them.
    void find_undisturbed_blocks(const std::vector<Rows>& disturbed,
                                 const Column<std::size_t>& level) {
        LevelBlocks& found = found_.undisturbed_blocks;
        const std::vector<Block>& blocks = blocks_.blocks;
        auto rows = disturbed.begin();
        for (auto block = blocks.begin(); block != blocks.end(); ++block) {
            const std::size_t first = shown_.row_of(block->first);
            const std::size_t last = shown_.row_of(block->end - 1);
            while (rows != disturbed.end() && rows->end <= first)
                ++rows;
            const bool is_disturbed = rows != disturbed.end() && rows->first <= last;
            const auto next = block + 1;
            const bool goes_on = next != blocks.end() && !next->after_silence;
            found.time.push_back(block->at);
            found.mv.push_back(is_disturbed ? missing_value : block->median);
            found.stands_for.push_back(goes_on ? next->at - block->at
                                               : Milliseconds{block->lasts_ms} + interval_);
            found.level.push_back(level[first]);
        }
    }

    const Readings& trace_;
    Milliseconds interval_;
    Shown shown_;
    Blocks blocks_; ///< of what is shown
    std::vector<LevelStep> steps_;
    std::vector<StepMeaning> meaning_;
    std::vector<SettlingTime> settles_;
    std::vector<std::pair<Instant, Instant>> loads_;
    Happenings found_;
};

} // namespace

Happenings happenings_of(const Readings& trace, const Column<double>& standard_mv,
                         const Coverage& coverage, std::span<const Refit> refits) {
    return Analysis(trace, standard_mv, coverage, refits).found();
}

} // namespace quaycell
