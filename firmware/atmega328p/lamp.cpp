#include "atmega328p/lamp.h"

#include "atmega328p/clocks.h"
#include "atmega328p/events.h"
#include "atmega328p/pin.h"
#include "board/circuit.h"

#include <avr/interrupt.h>

namespace quaycell {
namespace atmega328p {
namespace {

constexpr uint16_t timer_hz = board::cpu_hz / 1024;
constexpr uint8_t clear_on_match = 1U << WGM12;
constexpr uint8_t by_1024 = (1U << CS12) | (1U << CS10);

} // namespace

void Lamp::blink(uint16_t ms) {
    clock_on(1U << PRTIM1);
    set_high(board::led);
    TCNT1 = 0;
    OCR1A = static_cast<uint16_t>(static_cast<uint32_t>(ms) * timer_hz / 1000);
    TIFR1 = 1U << OCF1A;
    TIMSK1 = 1U << OCIE1A;
    TCCR1B = clear_on_match | by_1024;
}

bool Lamp::lit() {
    return is_high(board::led);
}

ISR(TIMER1_COMPA_vect) {
    set_low(board::led);
    TCCR1B = 0;
    clock_off(1U << PRTIM1);
    raise_event(event_lamp);
}

} // namespace atmega328p
} // namespace quaycell
