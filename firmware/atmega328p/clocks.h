// The clocks of the controller's parts. A part's clock draws current whenever the controller runs
// or idles, so each part has its own only while it is used; without it its registers cannot be read
// or written, and it must be set up again afterwards.
#pragma once

#include <stdint.h>

namespace quaycell {
namespace atmega328p {

/// parts: bits of PRR. Also from interrupts.
void clock_on(uint8_t parts);
void clock_off(uint8_t parts);

} // namespace atmega328p
} // namespace quaycell
