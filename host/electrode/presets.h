// Kinds of water that a name stands for.
#pragma once

#include "base/result.h"
#include "electrode/water.h"

#include <span>
#include <string_view>

namespace quaycell {

/// Where fresh water ends and sea water begins: the Venice system, from memory, [PSU].
inline constexpr double fresh_below_psu = 0.5;
inline constexpr double sea_from_psu = 30;

struct WaterPreset {
    std::string_view name;
    Range salinity_psu;
    std::string_view source;
    std::string_view status; ///< in words
};

std::span<const WaterPreset> all_water_presets();

/// "sea", "brackish", "fresh", or an error (wrong_usage) that lists them.
Result<WaterPreset> water_preset_named(std::string_view name);

} // namespace quaycell
