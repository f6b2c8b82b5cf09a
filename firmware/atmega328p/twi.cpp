#include "atmega328p/twi.h"

#include "atmega328p/clocks.h"
#include "atmega328p/delay.h"
#include "atmega328p/pin.h"
#include "board/circuit.h"

#include <util/twi.h>

namespace quaycell {
namespace atmega328p {
namespace {

// SCL = cpu / (16 + 2 * TWBR); both chips take 400 kHz at most.
constexpr uint32_t scl_max_hz = 400000;
constexpr uint8_t bit_rate = 2;
static_assert(board::cpu_hz / (16 + 2 * bit_rate) <= scl_max_hz, "the bus is not too fast");

// One byte takes 25 us; a turn of the waiting loop about ten cycles.
constexpr uint16_t turns_limit = 1000;

/// Starts the action in `control` and returns the status it ends with, 0 when it does not end.
uint8_t act(uint8_t control) {
    TWCR = static_cast<uint8_t>(control | (1U << TWINT) | (1U << TWEN));
    for (uint16_t turns = 0; turns < turns_limit; ++turns)
        if ((TWCR & (1U << TWINT)) != 0) return TW_STATUS;
    return 0;
}

bool start(uint8_t address_and_direction, uint8_t expected) {
    clock_on(1U << PRTWI);
    TWBR = bit_rate;
    const uint8_t status = act(1U << TWSTA);
    if (status != TW_START && status != TW_REP_START) return false;
    TWDR = address_and_direction;
    return act(0) == expected;
}

void wait_half_bit() {
    constexpr uint8_t half_bit_us = 2;
    Delay::microseconds(half_bit_us);
}

// A chip that was left in the middle of a byte holds SDA low and waits for clocks: nine at most
// bring it to where it lets go. Then a stop ends whatever it believes it is doing. A free bus is
// left alone.
void free_bus() {
    constexpr uint8_t byte_bits = 9; // eight and the acknowledge
    if (is_high(board::bus_data)) return;
    set_low(board::bus_clock); // low by driving, high by letting the pull-up have it
    set_low(board::bus_data);
    for (uint8_t bit = 0; bit < byte_bits && !is_high(board::bus_data); ++bit) {
        make_output(board::bus_clock);
        wait_half_bit();
        make_input(board::bus_clock);
        wait_half_bit();
    }
    make_output(board::bus_clock);
    wait_half_bit();
    make_output(board::bus_data);
    wait_half_bit();
    make_input(board::bus_clock);
    wait_half_bit();
    make_input(board::bus_data); // rises while the clock is high: a stop
    wait_half_bit();
}

/// Hands `done` on.
bool end(bool done) {
    TWCR = (1U << TWINT) | (1U << TWEN) | (1U << TWSTO);
    for (uint16_t turns = 0; turns < turns_limit && (TWCR & (1U << TWSTO)) != 0; ++turns) {
    }
    // Off and on again, so that a transfer that never ended is forgotten and the sleeping
    // controller leaves the bus alone.
    TWCR = 0;
    clock_off(1U << PRTWI);
    if (!done) free_bus();
    return done;
}

bool send(const uint8_t* bytes, uint8_t count) {
    for (uint8_t i = 0; i < count; ++i) {
        TWDR = bytes[i];
        if (act(0) != TW_MT_DATA_ACK) return false;
    }
    return true;
}

bool receive(uint8_t* bytes, uint8_t count) {
    for (uint8_t i = 0; i < count; ++i) {
        const bool last = i + 1 == count;
        if (act(last ? 0 : (1U << TWEA)) != (last ? TW_MR_DATA_NACK : TW_MR_DATA_ACK)) return false;
        bytes[i] = TWDR;
    }
    return true;
}

} // namespace

void Twi::begin() {
    free_bus();
}

bool Twi::write(uint8_t address, const uint8_t* bytes, uint8_t count) {
    return end(start(static_cast<uint8_t>(address << 1) | TW_WRITE, TW_MT_SLA_ACK) &&
               send(bytes, count));
}

bool Twi::read(uint8_t address, uint8_t reg, uint8_t* bytes, uint8_t count) {
    return end(start(static_cast<uint8_t>(address << 1) | TW_WRITE, TW_MT_SLA_ACK) &&
               send(&reg, 1) &&
               start(static_cast<uint8_t>(address << 1) | TW_READ, TW_MR_SLA_ACK) &&
               receive(bytes, count));
}

} // namespace atmega328p
} // namespace quaycell
