// The watchdog: a clock of its own that wakes the sleeper, and resets a controller that hangs.
//
// It runs freely and is never restarted, so that its interrupts count time. Each interrupt disarms
// itself; rearm() must have been called before the next one is due, else that one is a reset.
#pragma once

#include <stdint.h>

namespace quaycell {
namespace atmega328p {

class Watchdog {
  public:
    /// Seconds between interrupts: 8 or 1, within about 10 %.
    static void begin(uint8_t period_s);
    static void rearm();

    /// What the last reset came from, MCUSR as found at start-up.
    static uint8_t reset_cause();
};

} // namespace atmega328p
} // namespace quaycell
