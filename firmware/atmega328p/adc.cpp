#include "atmega328p/adc.h"

#include "atmega328p/clocks.h"

#include <avr/interrupt.h>
#include <avr/sleep.h>

namespace quaycell {
namespace atmega328p {
namespace {

bool converting() {
    return (ADCSRA & (1U << ADSC)) != 0; // ends by the converter's own clock
}

void idle_while_converting() {
    SMCR = SLEEP_MODE_IDLE;
    cli();
    while (converting()) {
        sleep_enable();
        sei();
        sleep_cpu();
        sleep_disable();
        cli();
    }
    sei();
}

uint16_t convert(bool awake) {
    ADCSRA = static_cast<uint8_t>(ADCSRA | (1U << ADSC));
    if (!awake) idle_while_converting();
    while (converting()) {
    }
    return ADC;
}

} // namespace

void Adc::on() {
    clock_on(1U << PRADC);
    ADCSRA = (1U << ADEN) | (1U << ADIE) | (1U << ADPS2) | (1U << ADPS1);
}

void Adc::off() {
    ADCSRA = 0;
    clock_off(1U << PRADC);
}

uint16_t Adc::sum(uint8_t channel, uint8_t count, bool awake) {
    ADMUX = static_cast<uint8_t>((1U << REFS0) | channel);
    convert(awake);
    uint16_t total = 0;
    while (count-- != 0)
        total = static_cast<uint16_t>(total + convert(awake));
    return total;
}

EMPTY_INTERRUPT(ADC_vect)

} // namespace atmega328p
} // namespace quaycell
