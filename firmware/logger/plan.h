// What a reading measures, and when the bursts are due.
#pragma once

#include <stdint.h>

namespace quaycell {
namespace logger {

/// By the time until the next reading: a conversion takes 0.14 s at most, AC 0.2 s a cell, the
/// stimulus 0.4 s a cell, after which the cells rest a second.
struct Plan {
    uint16_t from_interval_s;
    uint8_t conversions; ///< of each cell; their mean counts
    bool all_bursts;     ///< every burst that is due; else the first of them
};

constexpr Plan plans[] = {{4, 4, true}, {2, 2, false}, {1, 1, false}};

inline const Plan& plan_for(uint16_t interval_s) {
    const Plan* plan = plans;
    while (plan->from_interval_s > interval_s)
        ++plan;
    return *plan;
}

constexpr uint16_t ac_every_s = 10; ///< in every reading where the interval is longer
constexpr uint16_t stimulus_every_s = 600;
constexpr uint16_t stimulus_every_watched_s = 60; ///< while a host looks on

// What a reading may have besides its conversions, in the order of measuring.
constexpr uint8_t burst_ac = 0x01;
constexpr uint8_t burst_stimulus_a = 0x02;
constexpr uint8_t burst_stimulus_b = 0x04;

class BurstsDue {
  public:
    /// All of them with the next reading.
    void begin() {
        ac_tick_ = 0;
        stimulus_tick_ = 0;
    }

    /// What the reading of this tick takes along.
    uint8_t take(uint32_t now, bool all, bool watched) {
        if (now >= ac_tick_) {
            pending_ |= burst_ac;
            ac_tick_ = next_multiple(now, ac_every_s);
        }
        if (now >= stimulus_tick_) {
            pending_ |= burst_stimulus_a | burst_stimulus_b;
            stimulus_tick_ =
                next_multiple(now, watched ? stimulus_every_watched_s : stimulus_every_s);
        }
        const uint8_t first = static_cast<uint8_t>(pending_ & -pending_);
        const uint8_t taken = all ? pending_ : first;
        pending_ = static_cast<uint8_t>(pending_ & ~taken);
        return taken;
    }

  private:
    static uint32_t next_multiple(uint32_t now, uint16_t step) { return (now / step + 1) * step; }

    uint32_t ac_tick_ = 0;
    uint32_t stimulus_tick_ = 0;
    uint8_t pending_ = 0;
};

} // namespace logger
} // namespace quaycell
