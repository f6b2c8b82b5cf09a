// The ranges in which the answers of this folder are known. Outside them is an error, never a
// guess.
#pragma once

#include "base/result.h"
#include "electrode/water.h"

#include <string_view>

namespace quaycell {

struct Limits {
    std::string_view quantity;
    std::string_view unit;
    double low;
    double high;
};

/// The activity fits are stated from 0 degC; two degrees below are carried on (sea water freezes
/// there).
inline constexpr Limits water_temperature_limits{"water temperature", "degC", -2, 40};

/// From a clean lake to the upper end of the practical salinity scale.
inline constexpr Limits salinity_limits{"salinity", "PSU", 0.05, 42};

/// Below 1 mg/L the element's own solubility decides; the upper end is the chloride of salinity 42,
/// rounded down, so that all chloride in the limits has a salinity in the limits (computed).
inline constexpr Limits chloride_limits{"chloride", "mg/L", 1, 23880};

/// The value itself, or an error (out_of_range) that names the value and the range. NaN is outside.
Result<double> within(const Limits& limits, double value);

/// Done where temperature and both ends of salinity and chloride lie in their limits, low before
/// high.
Result<Done> check_water(const Water& water);

} // namespace quaycell
