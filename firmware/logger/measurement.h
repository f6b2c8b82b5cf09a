// From "due" to a finished reading: the cell's conversion, the water, the battery, the board, and
// the converter's own checks in between. Never waits; the converter works while the controller
// sleeps.
//
// Sensors: void read(uint16_t& water, uint16_t& battery)
#pragma once

#include "logger/check_sums.h"
#include "logger/conversion_run.h"
#include "logger/profile.h"
#include "logger/schedule.h"

namespace quaycell {
namespace logger {

template <typename Converter, typename Sensors, typename Time>
class Measurement {
  public:
    /// settling_s: of the front end after power-up. low_battery: the code below which it is low.
    constexpr Measurement(Converter& converter, Sensors& sensors, Time& time, uint8_t settling_s,
                          uint16_t low_battery)
        : converter_(converter), run_(converter), sensors_(sensors), time_(time),
          settling_s_(settling_s), low_battery_(low_battery) {}

    void begin(bool calibrated) {
        calibrated_ = calibrated;
        converter_answers_ = converter_.begin();
        read_battery();
    }

    /// Takes what is due from the schedule, ends what is done, starts what comes next.
    /// hint: the converter's ready pin moved since the last call.
    void advance(Schedule& schedule, bool hint) {
        const uint32_t now = time_.ticks_s();
        const bool hurry = reading_running() && schedule.reading_due(now);
        if (run_.running()) end_conversion(hint, hurry, now);

        const Due due = schedule.take(now);
        if (due.check) checks_.want_pair();
        if (due.recorded || due.live) {
            wanted_ = due;
            wanted_tick_s_ = now;
        }
        // A start that failed ends at once, and the next has its turn.
        while (!run_.running() && start_next(now))
            end_conversion(false, false, now);
    }

    CheckSums& checks() { return checks_; }

    /// A finished reading waits to be taken; recorded() and live() say for whom. Its head holds
    /// only the tick at which it was begun.
    bool done() const { return done_; }
    bool recorded() const { return is_for_.recorded; }
    bool live() const { return is_for_.live; }
    wire::Reading& take() {
        done_ = false;
        return reading_;
    }

    /// Recording ends: what is on its way is no longer for the record.
    void stop_recording() {
        wanted_.recorded = false;
        is_for_.recorded = false;
        checks_.end();
    }

    bool converter_answers() const { return converter_answers_; }
    bool battery_low() const { return battery_ < low_battery_; }

    uint16_t read_battery() {
        uint16_t water;
        sensors_.read(water, battery_);
        return battery_;
    }

  private:
    bool reading_running() const { return run_.running() && run_.input() == Input::cell_a; }

    bool start_next(uint32_t now) {
        if ((wanted_.recorded || wanted_.live) && !done_) {
            is_for_ = wanted_;
            wanted_ = Due{false, false, false};
            reading_ = wire::Reading{};
            reading_.head.ticks_s = wanted_tick_s_;
            run_.start(Input::cell_a, now);
            return true;
        }
        if (!checks_.wants_conversion()) return false;
        run_.start(checks_.next(), now);
        return true;
    }

    void end_conversion(bool hint, bool hurry, uint32_t now) {
        int16_t code = 0;
        const Conversion state = run_.poll(hint, hurry, now, code);
        if (state == Conversion::running) return;
        converter_answers_ = state == Conversion::done;
        if (run_.input() == Input::cell_a) {
            finish_reading(code);
        } else if (converter_answers_) {
            checks_.add(run_.input(), code);
        } else {
            checks_.fail();
        }
    }

    void finish_reading(int16_t code) {
        uint16_t flags = 0;
        if (!calibrated_) flags |= wire::flag_uncalibrated;
        if (reading_.head.ticks_s < settling_s_) flags |= wire::flag_unsettled;
        if (!converter_answers_) {
            flags |= wire::flag_converter_fault;
            code = wire::missing_code;
        } else if (code == INT16_MAX || code <= -INT16_MAX) {
            flags |= wire::flag_saturated_a;
            if (code < 0) code = -INT16_MAX; // the lowest code means "missing" in a record
        }
        reading_.cell_a = code;
        reading_.cell_b = wire::missing_code;
        reading_.ac_a = wire::missing_count;
        reading_.ac_b = wire::missing_count;
        reading_.source_a = wire::missing_byte;
        reading_.source_b = wire::missing_byte;
        sensors_.read(reading_.water, battery_);
        reading_.battery = battery_;
        if (battery_low()) flags |= wire::flag_low_battery;
        reading_.board = time_.read_board();
        reading_.flags = flags;
        done_ = true;
    }

    Converter& converter_;
    ConversionRun<Converter> run_;
    Sensors& sensors_;
    Time& time_;
    CheckSums checks_;
    wire::Reading reading_ = {};
    uint32_t wanted_tick_s_ = 0;
    Due wanted_ = {false, false, false};
    Due is_for_ = {false, false, false};
    uint16_t battery_ = 0;
    const uint8_t settling_s_;
    const uint16_t low_battery_;
    bool calibrated_ = false;
    bool converter_answers_ = false;
    bool done_ = false;
};

} // namespace logger
} // namespace quaycell
