// Seconds since the restart, which setting the clock never moves, and the time of day beside them.
// Ticks add up the differences between readings of the clock chip; while it does not answer or
// stands still, they come from the watchdog and are flagged.
//
// Clock: bool begin() (after it was away), bool read_time(uint32_t& unix_s), bool read_health(bool&
// lost_power, int16_t& board),
//        bool shows(uint32_t unix_s) (whether it can at all),
//        bool set_time(uint32_t unix_s), bool set_alarm(uint32_t unix_s); false: does not answer
#pragma once

#include "wire/record.h"

namespace quaycell {
namespace logger {

/// The clock's time became another without anybody setting it.
struct ClockChange {
    wire::ClockSetBy by;
    uint32_t before_unix_s; ///< 0 when it had none
    uint32_t after_unix_s;
};

template <typename Clock>
class DeviceTime {
  public:
    explicit constexpr DeviceTime(Clock& clock) : clock_(clock) {}

    void begin() {
        clock_.begin();
        answers_ = clock_.read_time(shown_unix_s_);
        read_board();
    }

    /// Brings ticks up to date. watchdog_s: seconds that the watchdog counted since the last call.
    void update(uint8_t watchdog_s) {
        uint32_t now_unix_s = 0;
        uint32_t seen_unix_s = 0;
        bool read = false;
        // Twice, so that one bit lost on the bus costs nothing, and rubbish is no time.
        for (uint8_t attempt = 0; attempt < 2; ++attempt) {
            seen_unix_s = now_unix_s;
            read = clock_.read_time(now_unix_s);
            const uint32_t passed_s = now_unix_s - shown_unix_s_;
            if (!read || !answers_ || passed_s > longest_step_s) continue;
            if (passed_s != 0) still_s_ = 0;
            ticks_s_ += passed_s;
            shown_unix_s_ = now_unix_s;
            if (passed_s != 0 || !stands_still(watchdog_s)) return;
            answers_ = false;
        }
        ticks_s_ += watchdog_s;
        if (!read || now_unix_s - seen_unix_s > 1) {
            answers_ = false;
            return;
        }
        const uint32_t passed_s = now_unix_s - shown_unix_s_;
        if (answers_) {
            jump_to(now_unix_s);
        } else if (passed_s != 0 && passed_s <= longest_step_s) {
            return_at(now_unix_s); // only a clock that is seen to run is one again
        }
        shown_unix_s_ = now_unix_s;
    }

    uint32_t ticks_s() const { return ticks_s_; }

    /// 0 when there is none that can be trusted.
    uint32_t unix_s() const { return answers_ && !lost_power_ && !jumped_ ? shown_unix_s_ : 0; }

    uint8_t flags() const {
        return static_cast<uint8_t>((answers_ ? 0 : wire::ticks_from_watchdog) |
                                    (lost_power_ ? wire::clock_lost_power : 0) |
                                    (jumped_ ? wire::clock_jumped : 0));
    }

    /// It answers, its time moves, and its alarm comes.
    bool works() const { return answers_ && !alarm_is_dead_; }

    /// Whether the alarm pin is low, after update(). An alarm that was slept through does not come.
    void see_alarm(bool low) {
        if (low)
            alarm_is_dead_ = false;
        else if (answers_ && alarm_tick_ != no_alarm && ticks_s_ - alarm_tick_ - 1 < longest_step_s)
            alarm_is_dead_ = true;
    }

    /// Call update() first. Ticks go on as if nothing had happened.
    bool set(uint32_t unix_s) {
        alarm_tick_ = no_alarm;
        uint32_t shown_unix_s = 0;
        if (!clock_.set_time(unix_s) || !clock_.read_time(shown_unix_s) ||
            shown_unix_s - unix_s > 1)
            return false;
        shown_unix_s_ = unix_s;
        answers_ = true;
        still_s_ = 0;
        lost_power_ = false;
        jumped_ = false;
        return true;
    }

    /// Board temperature, [0.25 degC]; also looks whether the clock has stopped meanwhile.
    int16_t read_board() {
        bool lost_power = false;
        int16_t board = wire::missing_code;
        if (!clock_.read_health(lost_power, board)) return wire::missing_code;
        lost_power_ = lost_power;
        return board;
    }

    /// Sees to an alarm at that tick and releases one that has gone off. False when the alarm had
    /// to be set and the tick may have come meanwhile: update() and look again before sleeping.
    bool alarm_at(uint32_t tick, bool gone_off) {
        if (!answers_ || (tick == alarm_tick_ && !gone_off)) return true;
        alarm_tick_ = clock_.set_alarm(shown_unix_s_ + (tick - ticks_s_)) ? tick : no_alarm;
        return false;
    }

    /// The records have to be told that the clock's time jumped or came back; take_change() says
    /// how.
    bool changed() const { return changed_; }
    const ClockChange& take_change() {
        changed_ = false;
        return change_;
    }

  private:
    /// The watchdog looks at the clock every 8 s; a bigger step is not time passing.
    static constexpr uint32_t longest_step_s = 30;
    /// The watchdog's longest period: that long it may count at once although the clock was looked
    /// at just before.
    static constexpr uint8_t longest_still_s = 8;
    static constexpr uint32_t no_alarm = UINT32_MAX;

    /// The clock has not moved while the watchdog counted.
    bool stands_still(uint8_t watchdog_s) {
        still_s_ = static_cast<uint8_t>(still_s_ + watchdog_s);
        return still_s_ > longest_still_s;
    }

    void jump_to(uint32_t now_unix_s) {
        change_ = {wire::ClockSetBy::itself, unix_s(), now_unix_s};
        jumped_ = true;
        begin_anew();
    }

    void return_at(uint32_t now_unix_s) {
        answers_ = true;
        begin_anew();
        change_ = {wire::ClockSetBy::return_of_the_clock, 0,
                   lost_power_ || jumped_ ? 0 : now_unix_s};
    }

    void begin_anew() {
        clock_.begin();
        read_board();
        still_s_ = 0;
        alarm_tick_ = no_alarm;
        changed_ = true;
    }

    Clock& clock_;
    uint32_t ticks_s_ = 0;
    uint32_t shown_unix_s_ = 0;
    uint32_t alarm_tick_ = no_alarm;
    ClockChange change_ = {};
    uint8_t still_s_ = 0; ///< counted by the watchdog since the clock last moved
    bool answers_ = false;
    bool alarm_is_dead_ = false;
    bool lost_power_ = true;
    bool jumped_ = false;
    bool changed_ = false;
};

} // namespace logger
} // namespace quaycell
