// Potentials as people type them.
#pragma once

#include "base/result.h"

#include <string_view>

namespace quaycell {

/// "-870", "-870mV", "-0.87V" -> [mV]; millivolts where no unit is given, units in any case, the
/// minus sign of a keyboard or of a book (U+2212). Not a number, not finite or beyond 5 V is an
/// error (wrong_usage) that quotes the text.
Result<double> parse_potential_mv(std::string_view text);

/// Whether a number given as millivolts is probably volts: between -2 and 2, and not 0.
bool looks_like_volts(double potential_mv);

} // namespace quaycell
