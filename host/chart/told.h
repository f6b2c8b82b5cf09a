// Measured values in words, by the one rule of base/rounding.h.
#pragma once

#include <string>

namespace quaycell {

/// A potential to the place that its expanded uncertainty allows, without unit: "−870". One that
/// is not known allows whole millivolts.
std::string told_mv(double potential_mv, double expanded_uncertainty_mv);

/// The uncertainty itself: "14", "2300", "0.1" for whatever is less.
std::string told_uncertainty_mv(double expanded_uncertainty_mv);

/// A value of another kind with its uncertainty's digits.
std::string told(double value, double uncertainty);

/// "83.2 %"; a share too small to show is "<0.1 %", one just short of all is ">99.9 %".
std::string percent_text(double share);

} // namespace quaycell
