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

    /// The battery of each reading; true when it has been low so often that it is not chance.
    bool exhausted(uint16_t battery) {
        if (battery >= recovered_) times_low_ = 0;
        if (battery < low_ && times_low_ < enough) ++times_low_;
        return times_low_ == enough;
    }

    void begin() { times_low_ = 0; }

  private:
    static constexpr uint8_t enough = 3; ///< readings; our judgement
    /// 1/32 of 3.4 V is 0.1 V: about what three cells recover without load (our judgement).
    static constexpr uint8_t hysteresis_part = 32;

    const uint16_t low_;
    const uint16_t recovered_;
    uint8_t times_low_ = 0;
};

} // namespace logger
} // namespace quaycell
