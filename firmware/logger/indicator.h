// The lamp: a short blink says "recording", a long one "look at me". It rides on the watchdog's
// wake-ups, so that showing costs no wake-up of its own.
//
// Charge, at 2 mA of lamp and 1 mA of idling controller (from memory): short 3 uC every 8 s,
// 0.4 uA on average; long 750 uC every 16 s, 47 uA, spent only when something is wrong.
#pragma once

#include <stdint.h>

namespace quaycell {
namespace logger {

class Indicator {
  public:
    static constexpr uint8_t short_ms = 1;
    static constexpr uint8_t long_ms = 250;
    static constexpr uint8_t short_every_s = 8;
    static constexpr uint8_t long_every_s = 16;

    /// passed_s: watchdog seconds since the last call. How long to light the lamp now, 0 for not.
    uint8_t blink(uint8_t passed_s, bool trouble, bool recording) {
        since_s_ = static_cast<uint8_t>(since_s_ + passed_s);
        if (since_s_ < (trouble ? long_every_s : short_every_s)) return 0;
        since_s_ = 0;
        return trouble ? long_ms : recording ? short_ms : uint8_t{0};
    }

  private:
    uint8_t since_s_ = 0;
};

} // namespace logger
} // namespace quaycell
