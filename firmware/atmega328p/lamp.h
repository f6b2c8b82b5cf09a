// The LED, switched off by timer 1 while the controller idles.
#pragma once

#include <stdint.h>

namespace quaycell {
namespace atmega328p {

class Lamp {
  public:
    /// 1 to 1000 ms.
    static void blink(uint16_t ms);

    /// Idle, not power-down, until it is dark again: the timer needs the clock.
    static bool lit();
};

} // namespace atmega328p
} // namespace quaycell
