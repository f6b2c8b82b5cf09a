// Where metals lie in sea water when nothing protects them.
#pragma once

#include "base/range.h"

#include <span>
#include <string_view>

namespace quaycell {

/// The free-corrosion potential of a metal in flowing sea water, against a silver/silver-chloride
/// cell, [mV].
struct FreePotential {
    std::string_view metal; ///< in words: "silicon bronze"
    Range potential_mv;     ///< low is the more negative end
    std::string_view status;
};

/// From magnesium to graphite.
std::span<const FreePotential> galvanic_series();

/// No metal of a boat's bonding lies above this in sea water, only carbon does, [mV].
inline constexpr double clearly_positive_mv = 100;

inline constexpr std::string_view galvanic_series_source =
    "galvanic series in flowing sea water, of a boat builders' magazine, no. 100 (2006), and of "
    "the Australasian Corrosion Association";

} // namespace quaycell
