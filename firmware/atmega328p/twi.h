// The two-wire bus, polled. Every wait has a bound, so that a stuck line costs milliseconds and
// not the logger.
#pragma once

#include <stdint.h>

namespace quaycell {
namespace atmega328p {

class Twi {
  public:
    /// Also frees the bus from a chip that a reset caught in the middle of a byte.
    static void begin();

    /// False when the chip does not acknowledge or the bus is held; it is free again for the next
    /// transfer, if a chip can be brought to let go at all.
    static bool write(uint8_t address, const uint8_t* bytes, uint8_t count);

    /// Reads `count` bytes, at least one, from register `reg` on.
    static bool read(uint8_t address, uint8_t reg, uint8_t* bytes, uint8_t count);
};

} // namespace atmega328p
} // namespace quaycell
