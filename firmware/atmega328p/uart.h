// The serial line: 8N1 at wire::baud_rate, on only while a host is there.
#pragma once

#include <stdint.h>

namespace quaycell {
namespace atmega328p {

class Uart {
  public:
    /// Off, the pins are left to the isolator.
    static void enable(bool on);

    /// The next byte received. When the host sends faster than it is taken, the newest are lost.
    static bool take(uint8_t& byte);

    /// The last byte has left the pin, so frame() may be written and the controller may sleep.
    static bool idle();

    /// Room for the longest frame.
    static uint8_t* frame();

    /// Sends the first `count` bytes of frame(); only when idle.
    static void send(uint16_t count);
};

} // namespace atmega328p
} // namespace quaycell
