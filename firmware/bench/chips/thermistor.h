// The water thermistor under its pull-up: 10 kohm at 25 degC, beta (25/85) 3977 K.
#pragma once

#include "board/circuit.h"

#include <cmath>

namespace quaycell::bench {

/// Resistance, [ohm]: R25 * exp(A + B/T + C/T^2 + D/T^3), the maker's equation for the resistance.
/// Its coefficients are others than those that the host goes back by. From memory of the data
/// sheet; they meet its table (32 554 ohm at 0 degC, 19 872 at 10, 12 488 at 20, 8059 at 30).
inline double thermistor_ohm(double celsius) {
    constexpr double a = -14.6337, b = 4791.842, c = -115334, d = -3.730535e6;
    const double k = celsius + 273.15;
    return board::thermistor_25c_ohm * std::exp(a + b / k + c / (k * k) + d / (k * k * k));
}

/// Voltage at the microcontroller's converter while the sensor supply is on, [mV].
inline double thermistor_mv(double celsius) {
    const double ohm = thermistor_ohm(celsius);
    return board::supply_mv * ohm / (ohm + board::thermistor_pullup_ohm);
}

} // namespace quaycell::bench
