// The constants of the circuit, stated once for the firmware, the simulated board and the check of
// the drawn circuit. No hardware was built: these are design values.
#pragma once

#include "logger/burst.h"

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
// A bead of 10 kohm at 25 degC with a beta (25/85) of 3977 K. Its coefficients are those of the
// extended Steinhart-Hart equation, 1/T = sum over n = 0..3 of c_n * ln(R / R25)^n, [1e-12 / K];
// from the maker's data sheet, transcribed from programs that quote it.
constexpr uint32_t thermistor_pullup_ohm = 10000;
constexpr uint32_t thermistor_25c_ohm = 10000;
constexpr uint32_t thermistor_c0 = 3354016000;
constexpr uint32_t thermistor_c1 = 256985000;
constexpr uint32_t thermistor_c2 = 2620131;
constexpr uint32_t thermistor_c3 = 63831;

// Battery through a switched divider by two on the microcontroller's converter, reference 3.3 V.
constexpr uint16_t supply_mv = 3300;
constexpr uint8_t battery_divider = 2;
constexpr uint16_t battery_full_scale_mv = supply_mv * battery_divider;
constexpr uint16_t low_battery_mv = 3400; ///< below, the 3.3 V regulator leaves regulation

// The microcontroller's own converter, 10 bit, sixteen readings summed.
constexpr uint8_t sum_of = 16;
constexpr uint16_t sum_full_scale = 1024 * sum_of;

// Bursts (logger/burst.h): readings of one of the AC amplifiers, about one a millisecond.
constexpr uint32_t sample_counter_hz = cpu_hz / 64;
constexpr uint8_t sample_counts = 115; ///< a sample; 1001.7 Hz
// AC is sampled at 993.1 Hz: ten cycles of 50 Hz fall on two hundred places of the wave instead of
// twenty, so that the converter's steps average out. The part of a cycle that is too much moves the
// rms by 0.3 % at most.
constexpr uint8_t ac_sample_counts = 116;
constexpr uint8_t samples_in_cycle = 8; ///< of the stimulus

// AC amplifiers: gain 0.285 at 50 Hz (simulated circuit), 0.289 at 60 Hz (computed from the 15.4 Hz
// corner of 4.7 nF and 2.2 Mohm); the one in the middle serves both. A burst gives the rms in
// hundredths of a step of the converter. With no AC it still shows the steps themselves; that floor
// is taken off in quadrature. A source resistance divides the signal against what the inputs draw
// at 50 Hz: 330 kohm, from the simulated circuit (-2.8 % at 10 kohm, -24 % at 100 kohm).
constexpr uint16_t ac_gain_ppt = 287; ///< parts per thousand
constexpr uint32_t ac_nv_per_code =
    supply_mv * 1000000UL / 1024 / logger::ac_codes_per_step * 1000 / ac_gain_ppt;
constexpr uint16_t ac_floor_uv = 3600;
constexpr uint32_t ac_load_ohm = 330000;

// Stimulus: what a burst finds of it at an AC amplifier is V = V_open * R / (R + R_half), with R
// the source and the hull's lead in series. Fitted to the drawn circuit, which it meets within 1 %
// (hardware-notes/simulated.csv). With the hull's clip off and cell B in the water the way back is
// through B's own input, as large as R_half: half of V_open, and on two long cables 71 mV.
constexpr uint16_t stimulus_open_mv = 167; ///< peak, as all of these
constexpr uint32_t stimulus_half_ohm = 292000;
constexpr uint32_t hull_lead_ohm = 10000;
constexpr uint16_t stimulus_drying_mv = 55;   ///< from here the source resistance is high
constexpr uint16_t stimulus_not_good_mv = 65; ///< from here: open, dry or the hull's clip off

constexpr uint16_t source_uv_per_code = static_cast<uint16_t>(
    logger::lock_in_per_code * (supply_mv * 1000UL / 1024) / logger::lock_in_per_step);

// The last disturbance of the cells' DC by a stimulus is below 0.1 mV a second after it (simulated
// circuit). Ticks tell whole seconds: two of them are one at least.
constexpr uint8_t rest_ticks = 2;

// From switching the thermistor and the divider on to the first reading that counts: ten time
// constants of 10 kohm with 2 nF of cable. Our judgement.
constexpr uint8_t sensor_settling_us = 200;

} // namespace board
} // namespace quaycell
