// The controller's own converter against its supply: 10 bit, 115.2 kHz.
#pragma once

#include <avr/io.h>

namespace quaycell {
namespace atmega328p {

class Adc {
  public:
    static void on() { ADCSRA = (1U << ADEN) | (1U << ADPS2) | (1U << ADPS1); }
    static void off() { ADCSRA = 0; }

    /// The sum of `count` readings of a channel, after one that is thrown away.
    static uint16_t sum(uint8_t channel, uint8_t count) {
        ADMUX = static_cast<uint8_t>((1U << REFS0) | channel);
        convert();
        uint16_t total = 0;
        while (count-- != 0) total = static_cast<uint16_t>(total + convert());
        return total;
    }

  private:
    static uint16_t convert() {
        ADCSRA |= 1U << ADSC;
        while ((ADCSRA & (1U << ADSC)) != 0) { // its own clock: cannot hang
        }
        return ADC;
    }
};

} // namespace atmega328p
} // namespace quaycell
