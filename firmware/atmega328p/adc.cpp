#include "atmega328p/adc.h"

#include <avr/interrupt.h>
#include <avr/sleep.h>

namespace quaycell {
namespace atmega328p {
namespace {

uint16_t convert() {
    ADCSRA = static_cast<uint8_t>(ADCSRA | (1U << ADSC));
    SMCR = SLEEP_MODE_IDLE;
    cli();
    while ((ADCSRA & (1U << ADSC)) != 0) { // ends by the converter's own clock
        sleep_enable();
        sei();
        sleep_cpu();
        sleep_disable();
        cli();
    }
    sei();
    return ADC;
}

} // namespace

void Adc::on() {
    ADCSRA = (1U << ADEN) | (1U << ADIE) | (1U << ADPS2) | (1U << ADPS1);
}

void Adc::off() {
    ADCSRA = 0;
}

uint16_t Adc::sum(uint8_t channel, uint8_t count) {
    ADMUX = static_cast<uint8_t>((1U << REFS0) | channel);
    convert();
    uint16_t total = 0;
    while (count-- != 0)
        total = static_cast<uint16_t>(total + convert());
    return total;
}

EMPTY_INTERRUPT(ADC_vect)

} // namespace atmega328p
} // namespace quaycell
