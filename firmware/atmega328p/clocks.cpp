#include "atmega328p/clocks.h"

#include <avr/interrupt.h>

namespace quaycell {
namespace atmega328p {

void clock_on(uint8_t parts) {
    const uint8_t interrupts = SREG;
    cli();
    PRR = static_cast<uint8_t>(PRR & ~parts);
    SREG = interrupts;
}

void clock_off(uint8_t parts) {
    const uint8_t interrupts = SREG;
    cli();
    PRR = static_cast<uint8_t>(PRR | parts);
    SREG = interrupts;
}

} // namespace atmega328p
} // namespace quaycell
