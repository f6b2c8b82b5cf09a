// The water thermistor under its pull-up.
#pragma once

#include "board/circuit.h"

#include <cmath>

namespace quaycell::bench {

/// Resistance by the beta equation, [ohm].
inline double thermistor_ohm(double celsius) {
    constexpr double zero_c_k = 273.15;
    constexpr double at_25c_k = zero_c_k + 25;
    return board::thermistor_25c_ohm *
           std::exp(board::thermistor_beta_k * (1 / (celsius + zero_c_k) - 1 / at_25c_k));
}

/// Voltage at the microcontroller's converter while the sensor supply is on, [mV].
inline double thermistor_mv(double celsius) {
    const double ohm = thermistor_ohm(celsius);
    return board::supply_mv * ohm / (ohm + board::thermistor_pullup_ohm);
}

} // namespace quaycell::bench
