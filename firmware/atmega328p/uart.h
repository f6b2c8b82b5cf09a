// The serial line: 8N1, on only while a host is there. Two frames at a time: one goes out while the
// next is made.
#pragma once

#include <stdint.h>

namespace quaycell {
namespace atmega328p {

class Uart {
  public:
    /// On at the speed that every conversation begins with. Off, the pins are left to the isolator.
    static void enable(bool on);

    /// From the end of what has been given to send() on. `speed` as in wire::SetSpeed.
    static void set_speed(uint8_t speed);

    /// The next byte received. When the host sends faster than it is taken, the newest are lost.
    static bool take(uint8_t& byte);

    /// The last byte has left the pin, so the controller may sleep.
    static bool idle();

    /// frame() may be written.
    static bool ready();

    /// Room for the longest frame.
    static uint8_t* frame();

    /// Sends frame() up to its zero, after the one that is being sent; only when ready.
    static void send();
};

} // namespace atmega328p
} // namespace quaycell
