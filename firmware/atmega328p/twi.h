// The two-wire bus, polled. Every wait has a bound, so that a stuck line costs a millisecond and
// not the logger.
#pragma once

#include <stdint.h>

namespace quaycell {
namespace atmega328p {

class Twi {
  public:
    static void begin();

    /// False when the chip does not acknowledge.
    static bool write(uint8_t address, const uint8_t* bytes, uint8_t count);

    /// Reads `count` bytes, at least one, from register `reg` on.
    static bool read(uint8_t address, uint8_t reg, uint8_t* bytes, uint8_t count);
};

} // namespace atmega328p
} // namespace quaycell
