#include "vessel/vessel.h"

#include "electrode/presets.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace quaycell {

namespace {

/// A TOML basic string: quotes, backslashes and control characters escaped.
std::string quoted(std::string_view text) {
    std::string result = "\"";
    for (const char c : text) {
        if (c == '"' || c == '\\')
            result += {'\\', c};
        else if (static_cast<unsigned char>(c) < 0x20 || c == 0x7F)
            result += fmt::format("\\u{:04X}", static_cast<unsigned char>(c));
        else
            result += c;
    }
    return result + '"';
}

template <typename Value>
std::vector<std::string_view> names_of(std::span<const Value> values) {
    std::vector<std::string_view> names;
    for (const Value& value : values)
        names.push_back(name_of(value));
    return names;
}

std::vector<std::string_view> water_names() {
    std::vector<std::string_view> names;
    for (const WaterPreset& preset : all_water_presets())
        names.push_back(preset.name);
    return names;
}

} // namespace

std::string new_vessel_file(std::string_view name, Hull hull) {
    return fmt::format(R"(# What is known of the boat. Remove the # before a line to use it.

[vessel]
name = {}
hull = "{}"            # one of: {}
# berth = "north pontoon"
# launched = 2026-04-30       # or a time, 2026-04-30T14:30:00Z: a hull settles for a day or so
# length_m = 9.5
# beam_m = 3.1
# draught_m = 1.4

[water]                       # one line says what water the cell hangs in
kind = "sea"                  # one of: {}; or instead:
# salinity_psu = [22, 33]     # a number or a range; a range goes into the uncertainty
# conductivity_ms_cm = 40     # at the water's own temperature
# conductivity_25_ms_cm = 45  # as most hand meters show it
# resistivity_ohm_m = 0.25    # at the water's own temperature
# chloride_mg_l = 50          # the one to give in fresh water
# temperature_c = 15          # where the logger's thermistor is not in the water

[cell]
scale = "agcl/open"           # a bare silver/silver-chloride cell; `quaycell convert --help` lists more
# serial = "C-17"
# last_check = 2026-05-01     # compared with another cell: counts for a day round it

# [[metal]]                   # every underwater metal bonded to the hull
# name = "propeller"
# kind = "copper-alloy"
#   kinds: {}

# [[point]]                   # a place to touch in a survey
# name = "propeller shaft"
# metal = "propeller"
# bonded = true               # false: by itself on purpose
# forward = 0.1               # for the drawing: 0 at the stern, 1 at the bow
# side = "centre"             # port, centre or starboard

# [[anode]]
# place = "shaft"
# alloy = "zinc"              # zinc, aluminium or magnesium
# mass_kg = 0.6
# fitted = 2026-04-12         # or a time: new anodes settle, too
)",
                       quoted(name), name_of(hull), fmt::join(names_of(all_hulls()), ", "),
                       fmt::join(water_names(), ", "), fmt::join(names_of(all_metals()), ", "));
}

} // namespace quaycell
