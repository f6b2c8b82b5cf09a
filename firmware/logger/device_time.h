// Seconds since the restart, which setting the clock never moves, and the time of day beside them.
// Ticks add up the differences between readings of the clock chip; while it does not answer, they
// come from the watchdog and are flagged.
//
// Clock: bool begin() (after it was away), bool read_time(uint32_t& unix_s), bool read_health(bool&
// lost_power, int16_t& board),
//        bool shows(uint32_t unix_s) (whether it can at all),
//        bool set_time(uint32_t unix_s), bool set_alarm(uint32_t unix_s); false: does not answer
#pragma once

#include "wire/record.h"

namespace quaycell {
namespace logger {

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
        bool read = false;
        // Twice, so that one bit lost on the bus costs nothing.
        for (uint8_t attempt = 0; attempt < 2; ++attempt) {
            read = clock_.read_time(now_unix_s);
            const uint32_t passed_s = now_unix_s - shown_unix_s_;
            if (read && answers_ && passed_s <= longest_step_s) {
                ticks_s_ += passed_s;
                shown_unix_s_ = now_unix_s;
                return;
            }
        }
        ticks_s_ += watchdog_s;
        if (read) {
            // It was away, or it jumped: the records need a new fixed point.
            clock_.begin();
            shown_unix_s_ = now_unix_s;
            anchor_due_ = true;
            alarm_tick_ = no_alarm;
        }
        answers_ = read;
    }

    uint32_t ticks_s() const { return ticks_s_; }

    /// 0 when there is none.
    uint32_t unix_s() const { return answers_ && !lost_power_ ? shown_unix_s_ : 0; }

    uint8_t flags() const {
        return static_cast<uint8_t>((answers_ ? 0 : wire::ticks_from_watchdog) |
                                    (lost_power_ ? wire::clock_lost_power : 0));
    }

    bool answers() const { return answers_; }

    /// Call update() first. Ticks go on as if nothing had happened.
    bool set(uint32_t unix_s) {
        alarm_tick_ = no_alarm;
        if (!clock_.set_time(unix_s)) return false;
        shown_unix_s_ = unix_s;
        answers_ = true;
        lost_power_ = false;
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

    /// True once after the clock's time jumped or came back.
    bool take_anchor() {
        const bool due = anchor_due_;
        anchor_due_ = false;
        return due;
    }

  private:
    /// The watchdog looks at the clock every 8 s; a bigger step is not time passing.
    static constexpr uint32_t longest_step_s = 30;
    static constexpr uint32_t no_alarm = UINT32_MAX;

    Clock& clock_;
    uint32_t ticks_s_ = 0;
    uint32_t shown_unix_s_ = 0;
    uint32_t alarm_tick_ = no_alarm;
    bool answers_ = false;
    bool lost_power_ = true;
    bool anchor_due_ = false;
};

} // namespace logger
} // namespace quaycell
