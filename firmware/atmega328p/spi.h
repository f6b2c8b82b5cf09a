// SPI master for the flash, mode 0, half the CPU clock.
#pragma once

#include "atmega328p/clocks.h"
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
    }

    static void select() {
        clock_on(1U << PRSPI);
        SPCR = (1U << SPE) | (1U << MSTR);
        SPSR = 1U << SPI2X;
        set_low(board::flash_select);
    }
    static void release() {
        set_high(board::flash_select);
        SPCR = 0;
        clock_off(1U << PRSPI);
    }

    static uint8_t exchange(uint8_t byte) {
        SPDR = byte;
        wait();
        return SPDR;
    }

    /// As many times exchange(0), while the next byte is on its way: 22 cycles a byte, not 32.
    static void receive(uint8_t* bytes, uint16_t count) {
        SPDR = 0;
        for (; --count != 0; ++bytes) {
            wait();
            const uint8_t byte = SPDR;
            SPDR = 0;
            *bytes = byte;
        }
        wait();
        *bytes = SPDR;
    }

  private:
    __attribute__((always_inline)) static void wait() {
        while ((SPSR & (1U << SPIF)) == 0) { // the master's own clock: cannot hang
        }
    }
};

} // namespace atmega328p
} // namespace quaycell
