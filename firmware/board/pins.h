// What hangs on which pin of the ATmega328P. A pin is a port letter and a bit, so that the
// simulated board can read the same table. INT0 (PD2) stays free.
#pragma once

#include <stdint.h>

namespace quaycell {
namespace board {

struct Pin {
    char port;
    uint8_t bit;
};

constexpr Pin flash_select{'B', 2};  ///< low: the NOR flash listens on SPI (PB3 to PB5)
constexpr Pin sensor_supply{'B', 1}; ///< high: thermistor and battery divider are powered
constexpr Pin clock_alarm{'B', 0};   ///< open drain, low: the clock chip's alarm; PCINT0, 1 Mohm up
constexpr Pin conversion_ready{'D', 5}; ///< open drain, falls: conversion done; PCINT21, 1 Mohm up
constexpr Pin host_present{'D', 6};     ///< high: a computer feeds the isolator; PCINT22
constexpr Pin led{'D', 7};              ///< high: lit
// Square wave to a cell through 1 Mohm and 4.7 nF; low when idle. A pin for each, so that one cell
// answers alone: with both driven alike no current would flow from one to the other, and the hull's
// lead would carry twice as much.
constexpr Pin stimulus_a{'D', 4};
constexpr Pin stimulus_b{'D', 3};

// The two-wire bus is where the microcontroller has it; open drain, 4.7 kohm up.
constexpr Pin bus_data{'C', 4};
constexpr Pin bus_clock{'C', 5};

// Channels of the microcontroller's converter (PC0 to PC3).
constexpr uint8_t adc_ac_a = 0;
constexpr uint8_t adc_ac_b = 1;
constexpr uint8_t adc_thermistor = 2;
constexpr uint8_t adc_battery = 3;

// Addresses on the two-wire bus.
constexpr uint8_t converter_address = 0x48;
constexpr uint8_t clock_address = 0x68;

// EEPROM: what belongs to this board, and to nothing else.
constexpr uint16_t eeprom_device_id = 0;     ///< u32, all ones until numbered
constexpr uint16_t eeprom_boot_count = 64;   ///< two slots of { u16 count, u16 inverse }
constexpr uint16_t eeprom_calibration = 128; ///< two copies of wire::Calibration

} // namespace board
} // namespace quaycell
