#include "atmega328p/events.h"

#include <avr/interrupt.h>
#include <avr/sleep.h>

namespace quaycell {
namespace atmega328p {
namespace {

volatile uint8_t events = 0;

} // namespace

// Runs with interrupts off, and so does everything below that touches `events`.
void raise_event(uint8_t bits) {
    events = static_cast<uint8_t>(events | bits);
}

uint8_t take_events() {
    cli();
    const uint8_t taken = events;
    events = 0;
    sei();
    return taken;
}

void idle_until_event() {
    SMCR = SLEEP_MODE_IDLE;
    cli();
    while (events == 0) {
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
    while (events == 0) {
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
