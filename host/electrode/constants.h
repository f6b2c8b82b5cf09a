// Constants of physics that the electrode equations share.
#pragma once

namespace quaycell {

inline constexpr double gas_constant = 8.314462618;     // [J/(mol K)], CODATA 2018, exact
inline constexpr double faraday_constant = 96485.33212; // [C/mol], CODATA 2018, exact
inline constexpr double molar_mass_chlorine = 35.453;   // [g/mol]

constexpr double kelvin(double temperature_c) {
    return temperature_c + 273.15;
}

/// RT/F, the slope of a one-electron potential per natural logarithm of activity, [mV].
constexpr double nernst_slope_mv(double temperature_c) {
    return 1000 * gas_constant * kelvin(temperature_c) / faraday_constant;
}

} // namespace quaycell
