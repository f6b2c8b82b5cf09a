// Where metals lie in sea water when nothing protects them.
#pragma once

#include "base/range.h"
#include "protection/criterion.h"

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

/// The series are for sea water: used as far down as the criteria are (our judgement).
inline constexpr double series_from_psu = 5;

/// Of the metal whose free potential a boat of this hull would show without anodes: its hull's,
/// else the bronze of its gear.
const FreePotential& free_potential_of(Hull hull);

/// No metal of a boat's bonding lies above this in sea water, only carbon does, [mV].
inline constexpr double clearly_positive_mv = 100;

inline constexpr std::string_view galvanic_series_source =
    "galvanic series in flowing sea water, of a boat builders' magazine, no. 100 (2006), and of "
    "the Australasian Corrosion Association";

} // namespace quaycell
