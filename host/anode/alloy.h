// What the alloys of sacrificial anodes deliver, and at which potential.
#pragma once

#include "base/range.h"
#include "base/result.h"

#include <span>
#include <string_view>

namespace quaycell {

enum class Alloy { zinc, aluminium, magnesium };

struct AlloyFacts {
    Alloy alloy;
    std::string_view name; ///< "aluminium"
    /// Charge that a kilogram delivers, design values of the codes. [Ah/kg]
    Range capacity_ah_kg;
    std::string_view capacity_source;
    /// In sea water while it delivers, against agcl/seawater. [mV]
    Range closed_circuit_mv;
    std::string_view potential_source;
    double density_kg_m3;
    std::string_view density_source;
    /// Charge of a kilogram that would dissolve for the current alone, which no anode reaches:
    /// computed from atomic mass and valency. [Ah/kg]
    double faraday_ah_kg;
    std::string_view status; ///< of the sourced numbers, in words
};

std::span<const AlloyFacts> all_alloys();
const AlloyFacts& facts_of(Alloy alloy);
std::string_view name_of(Alloy alloy);

/// Error (wrong_usage): none is called so; lists them.
Result<Alloy> alloy_named(std::string_view name);

} // namespace quaycell
