// When what is due, in ticks. Recorded readings fall on multiples of the interval, converter checks
// every 225 s, live readings on every second while a host watches.
#pragma once

#include <stdint.h>

namespace quaycell {
namespace logger {

constexpr uint16_t check_every_s = 225; ///< sixteen make an hour

struct Due {
    bool recorded;
    bool live;
    bool check;
};

class Schedule {
  public:
    static constexpr uint32_t never = UINT32_MAX;

    /// The first recorded reading comes at the next multiple of the interval.
    void record_every(uint16_t interval_s, uint32_t now) {
        interval_s_ = interval_s;
        recorded_ = next_multiple(now);
        check_ = now + check_every_s;
    }

    void stop_recording() {
        recorded_ = never;
        check_ = never;
    }

    void watch(bool on, uint32_t now) { live_ = on ? now + 1 : never; }

    /// What has become due; each due time is reported once, missed ones are not made up for.
    Due take(uint32_t now) {
        const Due due = {now >= recorded_, now >= live_, now >= check_};
        if (due.recorded) recorded_ = next_multiple(now);
        if (due.live) live_ = now + 1;
        if (due.check) check_ = now + check_every_s;
        return due;
    }

    /// Of what is recorded.
    uint16_t interval_s() const { return interval_s_; }
    bool watched() const { return live_ != never; }

    bool reading_due(uint32_t now) const { return now >= recorded_ || now >= live_; }

    /// The tick to wake up at; never when nothing is planned.
    uint32_t next() const {
        const uint32_t reading = recorded_ < live_ ? recorded_ : live_;
        return reading < check_ ? reading : check_;
    }

  private:
    uint32_t next_multiple(uint32_t now) const { return (now / interval_s_ + 1) * interval_s_; }

    uint16_t interval_s_ = 1;
    uint32_t recorded_ = never;
    uint32_t check_ = never;
    uint32_t live_ = never;
};

} // namespace logger
} // namespace quaycell
