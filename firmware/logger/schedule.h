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
        next_recorded_ = next_multiple(now);
        next_check_ = now + check_every_s;
    }

    void stop_recording() {
        next_recorded_ = never;
        next_check_ = never;
    }

    void watch(bool on, uint32_t now) { next_live_ = on ? now + 1 : never; }

    bool recording() const { return next_recorded_ != never; }

    /// What has become due; each due time is reported once, missed ones are not made up for.
    Due take(uint32_t now) {
        const Due due = {now >= next_recorded_, now >= next_live_, now >= next_check_};
        if (due.recorded) next_recorded_ = next_multiple(now);
        if (due.live) next_live_ = now + 1;
        if (due.check) next_check_ = now + check_every_s;
        return due;
    }

    bool reading_due(uint32_t now) const { return now >= next_recorded_ || now >= next_live_; }

    /// The tick to wake up at; never when nothing is planned.
    uint32_t next() const {
        uint32_t first = next_recorded_;
        if (next_check_ < first) first = next_check_;
        if (next_live_ < first) first = next_live_;
        return first;
    }

  private:
    uint32_t next_multiple(uint32_t now) const { return (now / interval_s_ + 1) * interval_s_; }

    uint16_t interval_s_ = 1;
    uint32_t next_recorded_ = never;
    uint32_t next_check_ = never;
    uint32_t next_live_ = never;
};

} // namespace logger
} // namespace quaycell
