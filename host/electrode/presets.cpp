#include "electrode/presets.h"

#include "electrode/limits.h"

#include <array>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <vector>

namespace quaycell {
namespace {

constexpr std::string_view venice = "Venice system for the classification of marine waters, 1958";

constexpr std::array presets{
    WaterPreset{"sea", {sea_from_psu, 40}, venice, "from memory"},
    WaterPreset{"brackish", {fresh_below_psu, sea_from_psu}, venice, "from memory"},
    // The Venice system has no lower end; ours is where the equations end.
    WaterPreset{"fresh", {salinity_limits.low, fresh_below_psu}, venice, "from memory"},
};

} // namespace

std::span<const WaterPreset> all_water_presets() {
    return presets;
}

Result<WaterPreset> water_preset_named(std::string_view name) {
    std::vector<std::string_view> names;
    for (const WaterPreset& preset : presets) {
        if (preset.name == name) return preset;
        names.push_back(preset.name);
    }
    return Error{ErrorCode::wrong_usage, fmt::format("there is no kind of water \"{}\"", name), "",
                 fmt::format("Use one of: {}", fmt::join(names, ", "))};
}

} // namespace quaycell
