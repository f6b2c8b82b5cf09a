// Ends a deployment while there is still the voltage to say so, and lets no logger begin again on
// cells that recovered for a moment.
#pragma once

#include "logger/profile.h"

namespace quaycell {
namespace logger {

class BatteryGuard {
  public:
    explicit constexpr BatteryGuard(const wire::Circuit& circuit)
        : low_(low_battery_code(circuit)),
          recovered_(static_cast<uint16_t>(low_ + low_ / hysteresis_part)) {}

    /// After a restart, which may have been a brown-out: only cells with a margin carry on.
    bool may_go_on(uint16_t battery) const { return battery >= recovered_; }

    /// The battery of each reading, and when; true when it has been low so often and for so long
    /// that it is not chance.
    bool exhausted(uint16_t battery, uint32_t now_s) {
        if (battery >= recovered_) times_low_ = 0;
        if (battery < low_ && times_low_ < enough) {
            if (times_low_ == 0) low_since_s_ = now_s;
            ++times_low_;
        }
        return times_low_ == enough && now_s - low_since_s_ >= long_enough_s;
    }

    void begin() { times_low_ = 0; }

  private:
    // Our judgement. Between low and the brown-out lie 0.7 V; three alkaline cells hold days there
    // for 0.1 mA (from memory), so that minutes lose nothing, and a sag from cold or load passes.
    static constexpr uint8_t enough = 3; ///< readings
    static constexpr uint16_t long_enough_s = 600;
    /// 1/32 of 3.4 V is 0.1 V: about what three cells recover without load (our judgement).
    static constexpr uint8_t hysteresis_part = 32;

    const uint16_t low_;
    const uint16_t recovered_;
    uint32_t low_since_s_ = 0;
    uint8_t times_low_ = 0;
};

} // namespace logger
} // namespace quaycell
