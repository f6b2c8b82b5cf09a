// The fuses, for the programmer and for the simulated board alike; why, stands in FUSES.md. Bits:
// from the microcontroller's data sheet, from memory. No hardware was built.
#pragma once

#include <stdint.h>

namespace quaycell {
namespace board {

constexpr uint8_t low_fuse = 0xCD;
constexpr uint8_t high_fuse = 0xD7;
constexpr uint8_t extended_fuse = 0xFD;

/// Clock cycles from a wake-up out of power-down or power-save to the first instruction, with a
/// crystal or resonator between 0.4 MHz and the chip's limit (CKSEL3 set). Data sheet, table of the
/// low-power oscillator's start-up times (read in a copy of it).
constexpr uint16_t start_up_cycles(uint8_t low) {
    return (low & 1U) == 0 ? ((low & 0x20U) == 0 ? 258 : 1024)
                           : ((low & 0x30U) == 0 ? 1024 : 16384);
}

} // namespace board
} // namespace quaycell
