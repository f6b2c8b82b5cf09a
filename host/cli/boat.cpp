#include "cli/boat.h"

#include <CLI/CLI.hpp>
#include <fmt/format.h>

namespace quaycell {

void add_boat_options(CLI::App& command, BoatOptions& options) {
    command.add_option("--vessel", options.vessel_file, "Vessel file: hull, water, cell, metals")
        ->type_name("FILE");
    command
        .add_option("--hull", options.hull, "steel, aluminium, wood, grp or grp-aluminium-drive")
        ->type_name("HULL");
    command.add_option("--scale", options.scale, "Scale of the cell; agcl/open where nobody says")
        ->type_name("SCALE");
    command.add_option("--rules", options.rule_set, "Rule set; small-craft where nobody says")
        ->type_name("SET");
    command.add_flag("--cell-checked", options.cell_checked,
                     "The cell was compared with another on the day, within 5 mV");
    add_water_options(command, options.water);
}

namespace {

/// What the readings tell, in place of what the vessel file says of the same.
WaterFacts measured_over(WaterFacts facts, const TraceFacts& trace) {
    if (trace.salinity_psu) {
        const auto temperature_c = facts.temperature_c;
        facts = WaterFacts();
        facts.temperature_c = temperature_c;
        facts.salinity_psu = trace.salinity_psu;
    }
    if (trace.temperature_c) facts.temperature_c = trace.temperature_c;
    return facts;
}

} // namespace

Result<Boat> boat_from(const BoatOptions& options, const TraceFacts& trace) {
    std::optional<Vessel> vessel;
    if (!options.vessel_file.empty()) {
        auto loaded = load_vessel(options.vessel_file);
        if (!loaded) return loaded.error();
        vessel = *loaded;
    }
    if (options.hull.empty() && !vessel)
        return Error{ErrorCode::wrong_usage, "the hull is not known", "",
                     "Give --hull steel, aluminium, wood, grp or grp-aluminium-drive; or --vessel "
                     "with a vessel file."};

    const WaterFacts known = measured_over(vessel ? vessel->water : WaterFacts{}, trace);
    auto water = water_from(options.water, known);
    if (!water) return water.error();
    Boat boat;
    boat.water = std::move(water).value();
    boat.cell_checked = options.cell_checked;
    boat.rule_set = options.rule_set;
    if (vessel) {
        boat.name = vessel->name;
        boat.berth = vessel->berth;
        boat.hull = vessel->hull;
        boat.cell_last_check = vessel->cell.last_check;
        if (boat.rule_set.empty()) boat.rule_set = vessel->rule_set;
        for (const MetalFacts& metal : vessel->metals)
            boat.metals.push_back(metal.kind);
    }
    if (!options.hull.empty()) {
        const auto hull = hull_named(options.hull);
        if (!hull) return hull.error();
        boat.hull = *hull;
    }

    if (!options.scale.empty()) {
        const auto scale = scale_named(options.scale);
        if (!scale) return scale.error();
        boat.cell_scale = *scale;
    } else if (trace.cell_scale) {
        boat.cell_scale = *trace.cell_scale;
    } else if (vessel && vessel->cell.scale) {
        boat.cell_scale = *vessel->cell.scale;
    } else {
        boat.cell_scale = Scale::agcl_open;
        boat.cell_scale_assumed = true;
        boat.water.assumed.push_back("cell on agcl/open, a bare element in this water");
    }
    return boat;
}

CellCheck cell_check_of(const Boat& boat, Instant first, Instant last) {
    if (boat.cell_checked) return CellCheck::same_day;
    if (boat.cell_last_check.empty()) return CellCheck::unchecked;
    const auto day = parse_instant(boat.cell_last_check + "T00:00:00Z");
    if (!day) return CellCheck::unchecked;
    const Instant end_of_day = *day + std::chrono::days{1};
    const bool near =
        end_of_day >= first - std::chrono::days{1} && *day <= last + std::chrono::days{1};
    return near ? CellCheck::same_day : CellCheck::unchecked;
}

Result<Rules> rules_of(const Boat& boat) {
    return prepare_rules(built_in_criteria(), boat.hull, boat.metals, boat.rule_set, boat.water);
}

} // namespace quaycell
