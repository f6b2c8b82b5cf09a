// What interrupts leave behind for the main loop, and sleeping until one of them comes.
#pragma once

#include <avr/io.h>
#include <stdint.h>

namespace quaycell {
namespace atmega328p {

/// Bits of take_events().
constexpr uint8_t event_pin_b = 0x01;
constexpr uint8_t event_pin_d = 0x02;
constexpr uint8_t event_watchdog = 0x04;
constexpr uint8_t event_lamp = 0x08;
constexpr uint8_t event_received = 0x10;
constexpr uint8_t event_sent = 0x20;
constexpr uint8_t event_sampled = 0x40;

/// Called by interrupts. One instruction with one of the bits, which leaves all registers alone:
/// the general purpose register is there for that.
__attribute__((always_inline)) inline void raise_event(uint8_t bit) {
    GPIOR0 = static_cast<uint8_t>(GPIOR0 | bit);
}

/// What came since the last call. Whatever comes later keeps sleep_until_event() from sleeping.
uint8_t take_events();

/// Sleep until an event comes; at once awake when one came since take_events(). Everything that has
/// an interrupt wakes the idler; from power-down only pins and the watchdog do.
void idle_until_event();
void power_down_until_event();

} // namespace atmega328p
} // namespace quaycell
