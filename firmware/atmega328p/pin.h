// Pins by the board's table. With a constant pin each call is one instruction.
#pragma once

#include "board/pins.h"

#include <avr/io.h>

namespace quaycell {
namespace atmega328p {

struct PortRegisters {
    volatile uint8_t& output;
    volatile uint8_t& direction;
    volatile uint8_t& input;
};

__attribute__((always_inline)) inline PortRegisters port_of(board::Pin pin) {
    switch (pin.port) {
    case 'B':
        return {PORTB, DDRB, PINB};
    case 'C':
        return {PORTC, DDRC, PINC};
    default:
        return {PORTD, DDRD, PIND};
    }
}

__attribute__((always_inline)) inline uint8_t mask_of(board::Pin pin) {
    return static_cast<uint8_t>(1U << pin.bit);
}

__attribute__((always_inline)) inline void set_high(board::Pin pin) {
    volatile uint8_t& output = port_of(pin).output;
    output = static_cast<uint8_t>(output | mask_of(pin));
}

__attribute__((always_inline)) inline void set_low(board::Pin pin) {
    volatile uint8_t& output = port_of(pin).output;
    output = static_cast<uint8_t>(output & ~mask_of(pin));
}

/// Of an output.
__attribute__((always_inline)) inline void toggle(board::Pin pin) {
    port_of(pin).input = mask_of(pin); // a one written there turns the output round
}

__attribute__((always_inline)) inline void make_output(board::Pin pin) {
    volatile uint8_t& direction = port_of(pin).direction;
    direction = static_cast<uint8_t>(direction | mask_of(pin));
}

__attribute__((always_inline)) inline void make_input(board::Pin pin) {
    volatile uint8_t& direction = port_of(pin).direction;
    direction = static_cast<uint8_t>(direction & ~mask_of(pin));
}

__attribute__((always_inline)) inline bool is_high(board::Pin pin) {
    return (port_of(pin).input & mask_of(pin)) != 0;
}

} // namespace atmega328p
} // namespace quaycell
