// How many digits of a measured value are told: one rule for figures, reports and answers.
#pragma once

#include <string>

namespace quaycell {

/// Nothing measured here is known, or told, finer than this.
constexpr double least_told_mv = 0.1;

/// Digits after the point, negative for those before it that are rounded away: the uncertainty has
/// two significant digits, and the value stands to the same place (JCGM 100:2008, GUM, 7.2.6). 0
/// where the uncertainty is not a positive number.
int told_decimals(double uncertainty);

/// The same for potentials, as far as a tenth of a millivolt.
int told_decimals_mv(double uncertainty_mv);

/// To that many digits; half away from 0.
double rounded_to(double value, int decimals);

/// Rounded so, for a terminal: "-968.4", "-1000".
std::string rounded_text(double value, int decimals);

/// To so many significant digits, without an exponent: "120", "0.13".
std::string significant_text(double value, int digits);

} // namespace quaycell
