// SPI master for the flash, mode 0, half the CPU clock.
#pragma once

#include "atmega328p/pin.h"

namespace quaycell {
namespace atmega328p {

class Spi {
  public:
    static void begin() {
        set_high(board::flash_select);
        make_output(board::flash_select);
        make_output({'B', 3}); // MOSI
        make_output({'B', 5}); // SCK
        SPCR = (1U << SPE) | (1U << MSTR);
        SPSR = 1U << SPI2X;
    }

    static void select() { set_low(board::flash_select); }
    static void release() { set_high(board::flash_select); }

    static uint8_t exchange(uint8_t byte) {
        SPDR = byte;
        while ((SPSR & (1U << SPIF)) == 0) { // the master's own clock: cannot hang
        }
        return SPDR;
    }
};

} // namespace atmega328p
} // namespace quaycell
