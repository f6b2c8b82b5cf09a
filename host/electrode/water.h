// The water that the cell hangs in, as far as it is known.
#pragma once

#include "base/range.h"

#include <optional>
#include <string>
#include <vector>

namespace quaycell {

/// Exactly one of salinity and chloride decides: chloride, where it is given, is what the open
/// silver/silver-chloride element feels, and in fresh water it is not a fixed share of the salt.
struct Water {
    double temperature_c = 15;  ///< [degC], -2 to 40
    Range salinity_psu{30, 40}; ///< practical salinity, 0.05 to 42
    std::optional<Range> chloride_mg_l;
    bool salinity_assumed = false;    ///< nobody said what water it is
    bool temperature_assumed = false; ///< nor how warm
    /// What was not given but assumed, in words, for the answer to show ("temperature 15 degC").
    std::vector<std::string> assumed;
};

} // namespace quaycell
