#include "atmega328p/watchdog.h"

#include "atmega328p/events.h"

#include <avr/interrupt.h>
#include <avr/wdt.h>

namespace quaycell {
namespace atmega328p {
namespace {

uint8_t cause __attribute__((section(".noinit")));

// After a watchdog reset the watchdog goes on at its shortest period: it must be tamed before the
// start-up code has cleared the memory.
__attribute__((naked, used, section(".init3"))) void tame_watchdog() {
    cause = MCUSR;
    MCUSR = 0;
    wdt_disable();
}

} // namespace

void Watchdog::begin(uint8_t period_s) {
    const uint8_t prescaler =
        period_s == 8 ? (1U << WDP3) | (1U << WDP0) : (1U << WDP2) | (1U << WDP1);
    const uint8_t control = static_cast<uint8_t>((1U << WDIE) | (1U << WDE) | prescaler);
    const uint8_t interrupts = SREG;
    cli();
    wdt_reset();
    WDTCSR = (1U << WDCE) | (1U << WDE);
    WDTCSR = control;
    SREG = interrupts;
}

void Watchdog::rearm() {
    WDTCSR |= 1U << WDIE;
}

uint8_t Watchdog::reset_cause() {
    return cause;
}

ISR(WDT_vect) {
    raise_event(event_watchdog);
}

} // namespace atmega328p
} // namespace quaycell
