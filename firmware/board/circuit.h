// The constants of the circuit, stated once for the firmware, the simulated board and the check of
// the drawn circuit. No hardware was built: these are design values.
#pragma once

#include <stdint.h>

namespace quaycell {
namespace board {

constexpr uint32_t cpu_hz = 7372800; ///< crystal; exact at 115200 to 921600 baud

// Cell converter (16 bit, +-2.048 V): one code, and the reference that COM (the hull lead) sits at.
constexpr uint32_t converter_lsb_nv = 62500;
constexpr uint32_t reference_uv = 1024000;
constexpr uint16_t conversion_ms = 125;         ///< nominal at 8 samples a second
constexpr uint16_t conversion_timeout_ms = 150; ///< the converter's clock may be 10 % slow

// Two-pole input filter, 470 kohm and 220 nF twice: settles to 0.1 mV within 3.2 s (simulated
// circuit, source up to 100 kohm); the first 5 s after power-up are marked unsettled.
constexpr uint8_t settling_s = 5;

// Water thermistor to ground, pull-up to a switched supply that is also the converter's reference.
constexpr uint32_t thermistor_pullup_ohm = 10000;
constexpr uint32_t thermistor_25c_ohm = 10000;
constexpr uint16_t thermistor_beta_k = 3950;

// Battery through a switched divider by two on the microcontroller's converter, reference 3.3 V.
constexpr uint16_t supply_mv = 3300;
constexpr uint8_t battery_divider = 2;
constexpr uint16_t battery_full_scale_mv = supply_mv * battery_divider;
constexpr uint16_t low_battery_mv = 3400; ///< below, the 3.3 V regulator leaves regulation

// The microcontroller's own converter, 10 bit, sixteen readings summed.
constexpr uint8_t sum_of = 16;
constexpr uint16_t sum_full_scale = 1024 * sum_of;

// From switching the thermistor and the divider on to the first reading that counts: ten time
// constants of 10 kohm with 2 nF of cable. Our judgement.
constexpr uint8_t sensor_settling_us = 200;

} // namespace board
} // namespace quaycell
