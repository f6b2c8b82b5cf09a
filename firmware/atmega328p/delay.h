// Waiting by counting cycles.
#pragma once

#include <stdint.h>

namespace quaycell {
namespace atmega328p {

struct Delay {
    /// At least that long.
    static void microseconds(uint8_t us);
};

} // namespace atmega328p
} // namespace quaycell
