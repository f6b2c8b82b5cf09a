// The controller's own converter against its supply: 10 bit, 115.2 kHz, 0.11 ms a reading.
#pragma once

#include <stdint.h>

namespace quaycell {
namespace atmega328p {

class Adc {
  public:
    static void on();
    static void off();

    /// The sum of `count` readings of a channel, after one that is thrown away. `awake`: the
    /// controller works meanwhile, which loads the battery; else it idles.
    static uint16_t sum(uint8_t channel, uint8_t count, bool awake);
};

} // namespace atmega328p
} // namespace quaycell
