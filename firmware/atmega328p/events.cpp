#include "atmega328p/events.h"

#include <avr/interrupt.h>
#include <avr/sleep.h>

namespace quaycell {
namespace atmega328p {
uint8_t take_events() {
    cli();
    const uint8_t taken = GPIOR0;
    GPIOR0 = 0;
    sei();
    return taken;
}

void idle_until_event() {
    SMCR = SLEEP_MODE_IDLE;
    cli();
    while (GPIOR0 == 0) {
        sleep_enable();
        // The instruction after SEI runs before any interrupt: none can slip in between.
        sei();
        sleep_cpu();
        sleep_disable();
        cli();
    }
    sei();
}

void power_down_until_event() {
    SMCR = SLEEP_MODE_PWR_DOWN;
    cli();
    while (GPIOR0 == 0) {
        sleep_enable();
        sleep_bod_disable(); // it draws 20 uA; back on at wake-up by itself
        sei();
        sleep_cpu();
        sleep_disable();
        cli();
    }
    sei();
}

ISR(PCINT0_vect) {
    raise_event(event_pin_b);
}
ISR(PCINT2_vect) {
    raise_event(event_pin_d);
}

} // namespace atmega328p
} // namespace quaycell
