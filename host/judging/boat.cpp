#include "judging/boat.h"

#include "electrode/potential.h"
#include "judging/budget_text.h"
#include "protection/standard_potential.h"

#include <CLI/CLI.hpp>
#include <fmt/format.h>
#include <map>
#include <numbers>

namespace quaycell {

void add_hull_options(CLI::App& command, BoatOptions& options) {
    command
        .add_option("--vessel", options.vessel_file.path, "Vessel file: hull, water, cell, metals")
        ->type_name("FILE");
    command
        .add_option("--hull", options.hull, "steel, aluminium, wood, grp or grp-aluminium-drive")
        ->type_name("HULL");
    command.add_option("--rules", options.rule_set, "Rule set; small-craft where nobody says")
        ->type_name("SET");
    command
        .add_option("--criteria", options.criteria_file.path,
                    "Your own criteria, a TOML file: rows that replace or add to those built in")
        ->type_name("FILE");
    add_water_options(command, options.water);
}

void add_boat_options(CLI::App& command, BoatOptions& options) {
    add_hull_options(command, options);
    command.add_option("--scale", options.scale, "Scale of the cell; agcl/open where nobody says")
        ->type_name("SCALE");
    command
        .add_option("--oxygen", options.oxygen,
                    "aerobic, where nobody says; anaerobic for a hull that lies in mud")
        ->type_name("WHICH");
    command
        .add_option("--baseline", options.baseline,
                    "Potential with the anodes disconnected, on the same scale: judges the shift")
        ->type_name("V");
    command.add_flag(
        "--cell-checked", options.cell_checked,
        "The cell was compared with another on the day, or before and after, within 5 mV");
    add_budget_option(command, options.budget_file.path);
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

/// Launch and new anodes; those of one day together.
std::vector<Refit> refits_of(const Vessel& vessel) {
    std::vector<Refit> refits;
    if (vessel.launched) refits.push_back({*vessel.launched, "launched"});
    std::map<std::string, Refit> by_day;
    for (const AnodeFacts& anode : vessel.anodes) {
        if (!anode.fitted) continue;
        const auto [same, is_new] =
            by_day.try_emplace(anode.fitted->text, Refit{*anode.fitted, "new anode: "});
        same->second.what += (is_new ? "" : ", ") + anode.place;
    }
    for (auto& [day, refit] : by_day)
        refits.push_back(std::move(refit));
    return refits;
}

} // namespace

Result<std::vector<Criterion>> criteria_from(const GivenFile& own_file) {
    if (!own_file.is_given()) return built_in_criteria();
    const auto text = own_file.read();
    if (!text) return text.error();
    auto own = parse_criteria(*text, own_file.path);
    if (!own) return own.error();
    return with_own_criteria(built_in_criteria(), std::move(own).value(), own_file.path);
}

Result<Boat> boat_from(const BoatOptions& options, const TraceFacts& trace) {
    Boat boat;
    auto criteria = criteria_from(options.criteria_file);
    if (!criteria) return criteria.error();
    boat.criteria = std::move(criteria).value();
    std::optional<Vessel> vessel;
    if (options.vessel_file.is_given()) {
        auto loaded = load_vessel(options.vessel_file, boat.criteria);
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
    auto terms = load_budget_terms(options.budget_file);
    if (!terms) return terms.error();
    boat.budget_terms = std::move(terms).value();
    boat.water = std::move(water).value();
    if (options.cell_checked) boat.cell_check = CellCheck::checked;
    boat.rule_set = options.rule_set;
    if (vessel) {
        boat.name = vessel->name;
        boat.berth = vessel->berth;
        boat.hull = vessel->hull;
        boat.cell_last_check = vessel->cell.last_check;
        boat.cell_serial = vessel->cell.serial;
        if (boat.rule_set.empty()) boat.rule_set = vessel->rule_set;
        for (const MetalFacts& metal : vessel->metals)
            boat.metals.push_back(metal.kind);
        boat.oxygen = vessel->oxygen;
        boat.baseline = vessel->baseline;
        boat.anodes = vessel->anodes;
        boat.refits = refits_of(*vessel);
    }
    if (!options.oxygen.empty()) {
        const auto oxygen = oxygen_named(options.oxygen);
        if (!oxygen) return oxygen.error();
        boat.oxygen = *oxygen;
    }
    if (!options.hull.empty()) {
        const auto hull = hull_named(options.hull);
        if (!hull) return hull.error();
        boat.hull = *hull;
    }

    if (options.meter)
        boat.meter = *options.meter;
    else if (trace.meter)
        boat.meter = *trace.meter;
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
    if (!options.baseline.empty()) {
        const auto baseline_mv = parse_potential_mv(options.baseline);
        if (!baseline_mv) return baseline_mv.error();
        boat.baseline = BaselineFacts{*baseline_mv, boat.cell_scale, ""};
    }
    return boat;
}

CellCheck cell_check_of(const Boat& boat, Instant first, Instant last) {
    if (boat.cell_check) return *boat.cell_check;
    if (boat.cell_last_check.empty()) return CellCheck::unchecked;
    const auto day = parse_instant(boat.cell_last_check + "T00:00:00Z");
    if (!day) return CellCheck::unchecked;
    // A date tells no result, so that it speaks for the readings round it only.
    const Instant end_of_day = *day + std::chrono::days{1};
    const bool near =
        first >= *day - comparison_counts_for && last <= end_of_day + comparison_counts_for;
    return near ? CellCheck::checked : CellCheck::unchecked;
}

namespace {

/// The baseline on agcl/seawater, with how well its difference from a reading is known.
Result<Baseline> baseline_of(const BaselineFacts& facts, const Boat& boat) {
    const auto standard_mv = standard_potential_mv(facts.potential_mv, facts.scale, boat.water);
    if (!standard_mv) return standard_mv.error();
    const auto budget = reading_budget(boat.cell_scale, boat.water, CellCheck::unchecked,
                                       boat.budget_terms, boat.meter);
    if (!budget) return budget.error();
    return Baseline{*standard_mv, facts.scale == boat.cell_scale
                                      ? budget->change_expanded_mv()
                                      : std::numbers::sqrt2 * budget->expanded_mv()};
}

} // namespace

BoatInWater in_its_water(const Boat& boat) {
    std::vector<std::string> alloys;
    for (const AnodeFacts& anode : boat.anodes)
        alloys.push_back(anode.alloy);
    return {boat.hull, alloys, boat.water};
}

Result<Rules> rules_of(const Boat& boat) {
    Judged judged{boat.hull, boat.metals, boat.rule_set, boat.cell_scale, boat.oxygen, {}};
    if (boat.baseline) {
        const auto baseline = baseline_of(*boat.baseline, boat);
        if (!baseline) return baseline.error();
        judged.baseline = *baseline;
    }
    return prepare_rules(boat.criteria, judged, boat.water);
}

} // namespace quaycell
