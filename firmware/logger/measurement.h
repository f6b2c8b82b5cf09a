// From "due" to a finished reading: the cells' conversions, AC, stimulus, the water, the battery,
// the board, and the converter's own checks in between. Never waits; converter and sampler work
// while the controller sleeps.
//
// Sampler: void begin(Cell cell, bool stimulus), bool running(), const Burst& burst(), the
//          last one taken
// Sensors: void read(uint16_t& water, uint16_t& battery), not while the sampler runs
#pragma once

#include "logger/burst.h"
#include "logger/check_sums.h"
#include "logger/conversion_run.h"
#include "logger/lead_watch.h"
#include "logger/plan.h"
#include "logger/profile.h"
#include "logger/schedule.h"

namespace quaycell {
namespace logger {

template <typename Converter, typename Sampler, typename Sensors, typename Time>
class Measurement {
  public:
    constexpr Measurement(Converter& converter, Sampler& sampler, Sensors& sensors, Time& time,
                          const Profile& profile)
        : run_(converter), sampler_(sampler), sensors_(sensors), time_(time),
          checks_(profile.circuit), leads_(profile.circuit), settled_tick_(profile.settling_s),
          low_battery_(low_battery_code(profile.circuit)), rest_ticks_(profile.rest_ticks) {}

    void begin(bool is_calibrated) {
        calibrated(is_calibrated);
        converter_answers_ = run_.begin();
    }

    void calibrated(bool yes) { calibrated_ = yes; }
    bool calibrated() const { return calibrated_; }

    /// A deployment begins: with checks of the converter, and all there is to measure in the first
    /// reading.
    void open() {
        checks_.begin();
        bursts_.begin();
    }

    /// The next reading looks at the leads.
    void look_at_leads() { bursts_.begin(); }

    /// Takes what is due from the schedule, ends what is done, starts what comes next.
    /// hint: the converter's ready pin moved since the last call.
    void advance(Schedule& schedule, bool hint) {
        const uint32_t now = time_.ticks_s();
        const bool awaited = schedule.reading_due(now);
        if (run_.running()) {
            end_conversion(hint || awaited, awaited, now);
        } else if (is_burst(step_) && !sampler_.running()) {
            end_burst();
        }
        const Due due = schedule.take(now);
        if (due.check) checks_.want_pair();
        if (due.live) checks_.want_look();
        if (due.recorded || due.live) {
            wanted_.recorded |= due.recorded;
            wanted_.live |= due.live;
            wanted_tick_s_ = now;
        }
        // A start that failed ends at once, and the next has its turn.
        while (!busy() && start_next(schedule, now)) {
            if (run_.running()) end_conversion(false, false, time_.ticks_s());
        }
    }

    CheckSums& checks() { return checks_; }
    const LeadWatch& leads() const { return leads_; }

    /// A finished reading waits to be taken; recorded() and live() say for whom. Its head holds
    /// only the tick at which it was begun.
    bool done() const { return step_ == Step::done; }
    bool recorded() const { return is_for_.recorded; }
    bool live() const { return is_for_.live; }
    wire::Reading& take() {
        step_ = Step::none;
        return reading_;
    }

    /// The sampler runs, which it does not in power-down.
    bool sampling() const { return sampler_.running(); }

    /// Recording ends: what is on its way is no longer for the record.
    void stop_recording() {
        wanted_.recorded = false;
        is_for_.recorded = false;
        checks_.end();
    }

    /// By the last conversion and the last check.
    bool converter_works() const { return converter_answers_ && !checks_.wrong(); }

    /// Looks whether the converter is there now. One that did not end its last conversion, or was
    /// wrong, is checked again; that shows a moment later.
    void look_at_converter() {
        if (!run_.begin())
            converter_answers_ = false;
        else if (!run_.silent())
            converter_answers_ = true;
        if (!converter_works() && !checks_.wants_conversion()) checks_.want_look();
    }

    bool battery_low() const { return battery_ < low_battery_; }

    uint16_t read_battery() {
        uint16_t water;
        if (!sampler_.running()) sensors_.read(water, battery_);
        return battery_;
    }

  private:
    /// Of a reading, in the order of measuring: the stimulus comes last because it disturbs.
    enum class Step : uint8_t { none, cell_a, cell_b, ac_a, ac_b, stimulus_a, stimulus_b, done };

    static bool is_burst(Step step) { return step >= Step::ac_a && step <= Step::stimulus_b; }

    bool busy() const { return run_.running() || is_burst(step_); }

    bool start_next(const Schedule& schedule, uint32_t now) {
        if ((wanted_.recorded || wanted_.live) && step_ == Step::none) {
            if (wanted_tick_s_ != now) time_.update(0);
            start_reading(schedule);
            return true;
        }
        if (!checks_.wants_conversion()) return false;
        time_.update(0); // the last look at the clock may be long ago
        run_.start(checks_.next(), time_.ticks_s());
        return true;
    }

    void start_reading(const Schedule& schedule) {
        is_for_ = wanted_;
        wanted_ = Due{false, false, false};
        plan_ = &plan_for(is_for_.recorded ? schedule.interval_s() : uint16_t{1});
        wanted_bursts_ = bursts_.take(wanted_tick_s_, plan_->all_bursts, schedule.watched());
        reading_ = wire::Reading{};
        reading_.head.ticks_s = wanted_tick_s_;
        reading_.cell_a = wire::missing_code;
        reading_.cell_b = wire::missing_code;
        reading_.ac_a = wire::missing_count;
        reading_.ac_b = wire::missing_count;
        reading_.source_a = wire::missing_byte;
        reading_.source_b = wire::missing_byte;
        if (!calibrated_) reading_.flags |= wire::flag_uncalibrated;
        if (static_cast<int32_t>(time_.ticks_s() - settled_tick_) < 0)
            reading_.flags |= wire::flag_unsettled;
        next_step();
    }

    /// To the next step that this reading has.
    void next_step() {
        do {
            step_ = static_cast<Step>(static_cast<uint8_t>(step_) + 1);
        } while (!begins(step_));
    }

    bool begins(Step step) {
        switch (step) {
        case Step::cell_a:
            return convert(Input::cell_a);
        case Step::cell_b:
            return converter_answers_ && leads_.b_may_be_there() && convert(Input::cell_b);
        case Step::ac_a:
            return (wanted_bursts_ & burst_ac) != 0 && sample(Cell::a, false);
        case Step::ac_b:
            return (wanted_bursts_ & burst_ac) != 0 && leads_.b_may_be_there() &&
                   sample(Cell::b, false);
        case Step::stimulus_a:
            return (wanted_bursts_ & burst_stimulus_a) != 0 && sample(Cell::a, true);
        case Step::stimulus_b:
            return (wanted_bursts_ & burst_stimulus_b) != 0 && sample(Cell::b, true);
        default:
            finish_reading();
            return true;
        }
    }

    bool convert(Input input) {
        sum_ = 0;
        converted_ = 0;
        run_.start(input, time_.ticks_s());
        return true;
    }

    bool sample(Cell cell, bool stimulus) {
        sampler_.begin(cell, stimulus);
        return true;
    }

    /// awaited: another reading is due; what has been converted of this one has to do.
    void end_conversion(bool ask, bool awaited, uint32_t now) {
        int16_t code = 0;
        const Conversion state = run_.poll(ask, now, code);
        if (state == Conversion::running) return;
        converter_answers_ = state == Conversion::done;
        const Input input = run_.input();
        if (input == Input::cell_a || input == Input::cell_b) {
            add_code(input, code, awaited);
        } else if (converter_answers_) {
            checks_.add(input, code);
        } else {
            checks_.fail();
        }
    }

    void add_code(Input input, int16_t code, bool last) {
        const bool is_a = input == Input::cell_a;
        if (converter_answers_) {
            if (code == INT16_MAX || code <= -INT16_MAX) {
                reading_.flags |= is_a ? wire::flag_saturated_a : wire::flag_saturated_b;
                if (code < 0) code = -INT16_MAX; // the lowest code means "missing" in a record
            }
            sum_ += code;
            ++converted_;
            if (converted_ < plan_->conversions && !last) {
                run_.start(input, time_.ticks_s());
                return;
            }
            (is_a ? reading_.cell_a : reading_.cell_b) = mean();
        }
        if (!converter_works()) reading_.flags |= wire::flag_converter_fault;
        next_step();
    }

    /// Rounded to the nearest, halves up.
    int16_t mean() const {
        const int32_t twice = 2 * sum_ + converted_;
        const int32_t divisor = 2 * converted_;
        return static_cast<int16_t>((twice >= 0 ? twice : twice - divisor + 1) / divisor);
    }

    void end_burst() {
        switch (step_) {
        case Step::ac_a:
            reading_.ac_a = ac_code(sampler_.burst());
            if (sampler_.burst().clipped) reading_.flags |= wire::flag_ac_clipped_a;
            break;
        case Step::ac_b:
            reading_.ac_b = ac_code(sampler_.burst());
            if (sampler_.burst().clipped) reading_.flags |= wire::flag_ac_clipped_b;
            break;
        case Step::stimulus_a:
            reading_.source_a = source_code(sampler_.burst());
            leads_.saw_a(reading_.source_a);
            rest();
            break;
        default:
            reading_.source_b = source_code(sampler_.burst());
            leads_.saw_b(reading_.source_b);
            rest();
        }
        next_step();
    }

    void rest() {
        time_.update(0);
        settled_tick_ = time_.ticks_s() + rest_ticks_;
    }

    void finish_reading() {
        sensors_.read(reading_.water, battery_);
        reading_.battery = battery_;
        if (battery_low()) reading_.flags |= wire::flag_low_battery;
        reading_.flags |= leads_.flags();
        reading_.board = time_.read_board();
    }

    ConversionRun<Converter> run_;
    Sampler& sampler_;
    Sensors& sensors_;
    Time& time_;
    CheckSums checks_;
    BurstsDue bursts_;
    LeadWatch leads_;
    wire::Reading reading_ = {};
    const Plan* plan_ = plans;
    uint32_t wanted_tick_s_ = 0;
    uint32_t settled_tick_; ///< before it the input filter is still on its way
    int32_t sum_ = 0;
    Due wanted_ = {false, false, false};
    Due is_for_ = {false, false, false};
    uint16_t battery_ = 0;
    const uint16_t low_battery_;
    const uint8_t rest_ticks_;
    uint8_t converted_ = 0;
    uint8_t wanted_bursts_ = 0;
    Step step_ = Step::none;
    bool calibrated_ = false;
    bool converter_answers_ = false;
};

} // namespace logger
} // namespace quaycell
