#include "judging/options.h"

#include "electrode/potential.h"
#include "electrode/presets.h"
#include "electrode/salinity.h"
#include "judging/files.h"

#include <charconv>
#include <CLI/CLI.hpp>
#include <cmath>
#include <fmt/format.h>

namespace quaycell {

void add_water_options(CLI::App& command, WaterOptions& options) {
    const auto add = [&command](const char* name, auto& value, const char* unit, const char* what) {
        command.add_option(name, value, what)
            ->type_name(unit)
            ->group("Water (one of the last six)");
    };
    add("--temperature", options.temperature_c, "C", "Its temperature, degC");
    add("--water", options.kind, "KIND", "sea, brackish or fresh");
    add("--salinity", options.salinity_psu, "PSU", "Practical salinity");
    add("--conductivity", options.conductivity_ms_cm, "MS_CM",
        "Conductivity at the water's temperature, mS/cm");
    add("--conductivity-25", options.conductivity_25_ms_cm, "MS_CM",
        "Conductivity compensated to 25 degC, mS/cm (most hand meters)");
    add("--resistivity", options.resistivity_ohm_m, "OHM_M",
        "Resistivity at the water's temperature, ohm m");
    add("--chloride", options.chloride_mg_l, "MG_L",
        "Chloride, mg/L: the one to give in fresh water");
}

std::optional<Error> not_finite(std::string_view option, std::optional<double> value) {
    if (!value || std::isfinite(*value)) return std::nullopt;
    return Error{ErrorCode::wrong_usage, "this is not a number", std::string(option), ""};
}

namespace {

constexpr const char* mean_activity_name = "mean-nacl";

/// A function of a number, applied to both ends of a range.
template <typename Function>
Result<Range> both_ends(const Range& range, const Function& function) {
    const Result<double> low = function(range.low);
    if (!low) return low.error();
    const Result<double> high = function(range.high);
    if (!high) return high.error();
    return Range{*low, *high};
}

Range single(double value) {
    return {value, value};
}

int count_of(const WaterOptions& options) {
    return options.kind.has_value() + options.salinity_psu.has_value() +
           options.conductivity_ms_cm.has_value() + options.conductivity_25_ms_cm.has_value() +
           options.resistivity_ohm_m.has_value() + options.chloride_mg_l.has_value();
}

/// What the command line says, in the words of a vessel file; what is known where it says nothing.
WaterFacts said(const WaterOptions& options, const WaterFacts& known) {
    WaterFacts facts = known;
    if (names_water(options)) {
        facts = WaterFacts();
        facts.temperature_c = known.temperature_c;
        facts.kind = options.kind;
        if (options.salinity_psu) facts.salinity_psu = single(*options.salinity_psu);
        if (options.conductivity_ms_cm)
            facts.conductivity_ms_cm = single(*options.conductivity_ms_cm);
        if (options.conductivity_25_ms_cm)
            facts.conductivity_25_ms_cm = single(*options.conductivity_25_ms_cm);
        if (options.resistivity_ohm_m) facts.resistivity_ohm_m = single(*options.resistivity_ohm_m);
        if (options.chloride_mg_l) facts.chloride_mg_l = single(*options.chloride_mg_l);
    }
    if (options.temperature_c) facts.temperature_c = options.temperature_c;
    return facts;
}

} // namespace

bool names_water(const WaterOptions& options) {
    return count_of(options) > 0;
}

Result<Water> water_from(const WaterOptions& options, const WaterFacts& known) {
    for (const auto& [name, value] : {std::pair{"--temperature", options.temperature_c},
                                      std::pair{"--salinity", options.salinity_psu},
                                      std::pair{"--conductivity", options.conductivity_ms_cm},
                                      std::pair{"--conductivity-25", options.conductivity_25_ms_cm},
                                      std::pair{"--resistivity", options.resistivity_ohm_m},
                                      std::pair{"--chloride", options.chloride_mg_l}}) {
        if (auto error = not_finite(name, value)) return *error;
    }

    if (count_of(options) > 1)
        return Error{ErrorCode::wrong_usage, "the water is described twice", "",
                     "Keep one of --water, --salinity, --conductivity, --conductivity-25, "
                     "--resistivity and --chloride"};

    const WaterFacts facts = said(options, known);
    Water water;
    if (facts.temperature_c) {
        water.temperature_c = *facts.temperature_c;
    } else {
        water.temperature_assumed = true;
        water.assumed.push_back(fmt::format("water temperature {} degC", water.temperature_c));
    }

    if (facts.salinity_psu) {
        water.salinity_psu = *facts.salinity_psu;
    } else if (facts.conductivity_ms_cm) {
        const auto range = both_ends(*facts.conductivity_ms_cm, [&](double conductivity) {
            return salinity_from_conductivity(conductivity, water.temperature_c);
        });
        if (!range) return range.error();
        water.salinity_psu = *range;
    } else if (facts.conductivity_25_ms_cm) {
        const auto range = both_ends(*facts.conductivity_25_ms_cm, salinity_from_conductivity_25);
        if (!range) return range.error();
        water.salinity_psu = *range;
    } else if (facts.resistivity_ohm_m) {
        const Range swapped{facts.resistivity_ohm_m->high, facts.resistivity_ohm_m->low};
        const auto range = both_ends(swapped, [&](double resistivity) {
            return salinity_from_resistivity(resistivity, water.temperature_c);
        });
        if (!range) return range.error();
        water.salinity_psu = *range;
    } else if (facts.chloride_mg_l) {
        water.chloride_mg_l = facts.chloride_mg_l;
    } else {
        const auto preset = water_preset_named(facts.kind.value_or("sea"));
        if (!preset) return preset.error();
        water.salinity_psu = preset->salinity_psu;
        if (!facts.kind) {
            water.salinity_assumed = true;
            water.assumed.push_back(fmt::format("sea water, salinity {} to {} PSU",
                                                preset->salinity_psu.low,
                                                preset->salinity_psu.high));
        }
    }
    return water;
}

void add_survey_option(CLI::App& command, std::int64_t& number, const std::string& what) {
    command.add_option("--survey", number, what)
        ->type_name("N")
        ->check([](const std::string& typed) {
            std::int64_t value = 0;
            const char* const end = typed.data() + typed.size();
            const auto [rest, wrong] = std::from_chars(typed.data(), end, value);
            return wrong == std::errc{} && rest == end && value > 0
                       ? std::string()
                       : fmt::format("\"{}\" is not the number of a survey. They count from 1.",
                                     typed);
        });
}

void add_activity_option(CLI::App& command, std::string& name) {
    command
        .add_option("--activity", name,
                    "What stands for the activity of chloride: macinnes, which fits cells with "
                    "potassium chloride, or mean-nacl")
        ->type_name("")
        ->check(CLI::IsMember({default_activity_name, mean_activity_name}));
}

ChlorideActivity activity_named(std::string_view name) {
    return name == mean_activity_name ? ChlorideActivity::mean_sodium_chloride
                                      : ChlorideActivity::macinnes;
}

Result<double> potential_from(const std::string& typed, const std::string& option) {
    const auto potential_mv = parse_potential_mv(typed);
    if (!potential_mv) return potential_mv.error();
    const bool has_no_unit = typed.back() >= '0' && typed.back() <= '9';
    if (looks_like_volts(*potential_mv) && has_no_unit)
        return Error{ErrorCode::wrong_usage, "as millivolts, that is no potential of a hull",
                     option.empty() ? typed : option + ' ' + typed,
                     fmt::format("Write {0}V if it is volts, {0}mV if it is not", typed)};
    return *potential_mv;
}

Result<Vessel> load_vessel(const GivenFile& file, std::span<const Criterion> criteria) {
    const auto text = file.read();
    if (!text) return text.error();
    return parse_vessel(*text, file.path, criteria);
}

} // namespace quaycell
