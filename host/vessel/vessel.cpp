#include "vessel/vessel.h"

#include "base/table_reader.h"
#include "electrode/limits.h"
#include "electrode/presets.h"
#include "protection/rules.h"

#include <algorithm>
#include <array>
#include <fmt/format.h>
#include <fmt/ranges.h>

namespace quaycell {

namespace {

constexpr double most_metres = 500; ///< no boat is longer

/// Reads [water]. What conductivity is possible depends on the temperature; the electrode model
/// knows. The limits here only catch slips of the unit.
WaterFacts read_water(TableReader& reader) {
    const auto within_limits = [&reader](std::string_view key, const Limits& limits) {
        return reader.range(key, limits.low, limits.high);
    };
    WaterFacts facts;
    if (const auto preset = reader.named("kind", water_preset_named)) facts.kind = preset->name;
    facts.salinity_psu = within_limits("salinity_psu", salinity_limits);
    facts.conductivity_ms_cm = reader.range("conductivity_ms_cm", 0.01, 100);
    facts.conductivity_25_ms_cm = reader.range("conductivity_25_ms_cm", 0.01, 100);
    facts.resistivity_ohm_m = reader.range("resistivity_ohm_m", 0.1, 1000);
    facts.chloride_mg_l = within_limits("chloride_mg_l", chloride_limits);
    facts.temperature_c =
        reader.number("temperature_c", water_temperature_limits.low, water_temperature_limits.high);
    const int given = facts.kind.has_value() + facts.salinity_psu.has_value() +
                      facts.conductivity_ms_cm.has_value() +
                      facts.conductivity_25_ms_cm.has_value() +
                      facts.resistivity_ohm_m.has_value() + facts.chloride_mg_l.has_value();
    if (given > 1)
        reader.complain("kind", "the water is described twice",
                        "Keep one of kind, salinity_psu, conductivity_ms_cm, "
                        "conductivity_25_ms_cm, resistivity_ohm_m and chloride_mg_l.");
    return facts;
}

CellFacts read_cell(TableReader& reader) {
    CellFacts facts;
    facts.scale = reader.named("scale", scale_named);
    facts.serial = reader.text("serial").value_or("");
    facts.last_check = reader.date("last_check").value_or("");
    return facts;
}

void read_rules(TableReader& reader, std::span<const Criterion> criteria, Vessel& vessel) {
    vessel.oxygen = reader.named("oxygen", oxygen_named).value_or(vessel.oxygen);
    vessel.rule_set = reader.text("set").value_or("");
    const std::string& set = vessel.rule_set;
    const std::vector<std::string> known = rule_sets_in(criteria);
    if (!set.empty() && std::ranges::find(known, set) == known.end())
        reader.complain("set", fmt::format("there is no rule set \"{}\"", set),
                        fmt::format("Use one of: {}", fmt::join(known, ", ")));
}

BaselineFacts read_baseline(TableReader& reader) {
    reader.require("potential_mv");
    BaselineFacts facts;
    facts.potential_mv = reader.number("potential_mv", -2000, 1000).value_or(0);
    facts.scale = reader.named("scale", scale_named).value_or(Scale::agcl_open);
    facts.date = reader.date("date").value_or("");
    return facts;
}

MetalFacts read_metal(TableReader& reader) {
    reader.require("kind");
    MetalFacts facts{reader.needed_text("name"), ""};
    if (const auto metal = reader.named("kind", metal_named)) facts.kind = name_of(*metal);
    return facts;
}

PointFacts read_point(TableReader& reader, const std::vector<MetalFacts>& metals) {
    PointFacts facts{reader.needed_text("name"), reader.text("metal").value_or(""), true, {}};
    facts.bonded = reader.flag("bonded").value_or(true);
    const auto forward = reader.number("forward", 0, 1);
    const auto side = reader.named("side", hull_side_named);
    if (forward || side)
        facts.place = HullPlace{forward.value_or(0.5), side.value_or(HullSide::centre)};
    if (facts.metal.empty() && !facts.bonded)
        reader.complain("bonded", "the hull itself cannot be unbonded",
                        "Name the point's metal, or leave the line out.");
    if (!facts.metal.empty() &&
        std::ranges::find(metals, facts.metal, &MetalFacts::name) == metals.end()) {
        std::vector<std::string> names(metals.size());
        std::ranges::transform(metals, names.begin(), &MetalFacts::name);
        reader.complain("metal", fmt::format("no [[metal]] has the name \"{}\"", facts.metal),
                        names.empty() ? "List the metal, or leave the line out for the hull itself."
                                      : fmt::format("Use one of: {}", fmt::join(names, ", ")));
    }
    return facts;
}

AnodeFacts read_anode(TableReader& reader) {
    AnodeFacts facts;
    facts.place = reader.needed_text("place");
    facts.alloy = reader.text("alloy").value_or("");
    constexpr std::array<std::string_view, 3> alloys{"zinc", "aluminium", "magnesium"};
    if (!facts.alloy.empty() && std::ranges::find(alloys, facts.alloy) == alloys.end())
        reader.complain("alloy", fmt::format("\"{}\" is not an anode alloy", facts.alloy),
                        "The alloys are: zinc, aluminium, magnesium.");
    facts.mass_kg = reader.number("mass_kg", 0.001, 10000);
    facts.fitted = reader.day_or_time("fitted");
    return facts;
}

void read_boat(TableReader& reader, Vessel& vessel) {
    vessel.name = reader.needed_text("name");
    reader.require("hull");
    vessel.hull = reader.named("hull", hull_named).value_or(vessel.hull);
    vessel.berth = reader.text("berth").value_or("");
    vessel.launched = reader.day_or_time("launched");
    vessel.length_m = reader.number("length_m", 0.1, most_metres);
    vessel.beam_m = reader.number("beam_m", 0.1, most_metres);
    vessel.draught_m = reader.number("draught_m", 0.01, most_metres);
}

/// Applies `read` to the table `key`, where it is there, and carries its complaint outside.
template <typename Read>
std::optional<Error> in_table(TableReader& root, std::string_view key, const TomlFile& file,
                              const Read& read) {
    const toml::table* table = root.table(key);
    if (table == nullptr) return std::nullopt;
    TableReader reader(*table, fmt::format("[{}]", key), file);
    read(reader);
    return reader.finish();
}

template <typename Facts, typename Read>
std::optional<Error> in_list(TableReader& root, std::string_view key, const TomlFile& file,
                             const Read& read, std::vector<Facts>& into) {
    const toml::array* list = root.list_of_tables(key);
    if (list == nullptr) return std::nullopt;
    for (const toml::node& entry : *list) {
        TableReader reader(*entry.as_table(), fmt::format("[[{}]]", key), file);
        into.push_back(read(reader));
        if (auto error = reader.finish()) return error;
    }
    return std::nullopt;
}

} // namespace

Result<Vessel> parse_vessel(std::string_view toml, std::string_view where,
                            std::span<const Criterion> criteria) {
    const TomlFile file{std::string(where), "`quaycell vessel new` writes a file that has it."};
    const Result<toml::table> root = parse_toml(toml, file);
    if (!root) return root.error();

    Vessel vessel;
    TableReader reader(*root, "", file);
    reader.require("vessel");
    std::optional<Error> error;
    const auto keep_first = [&error](std::optional<Error> found) {
        if (!error) error = std::move(found);
    };
    keep_first(in_table(reader, "vessel", file, [&](auto& r) { read_boat(r, vessel); }));
    keep_first(in_table(reader, "water", file, [&](auto& r) { vessel.water = read_water(r); }));
    keep_first(in_table(reader, "cell", file, [&](auto& r) { vessel.cell = read_cell(r); }));
    keep_first(in_table(reader, "rules", file, [&](auto& r) { read_rules(r, criteria, vessel); }));
    keep_first(
        in_table(reader, "baseline", file, [&](auto& r) { vessel.baseline = read_baseline(r); }));
    keep_first(in_list(reader, "metal", file, read_metal, vessel.metals));
    keep_first(in_list(
        reader, "point", file, [&](auto& r) { return read_point(r, vessel.metals); },
        vessel.points));
    keep_first(in_list(reader, "anode", file, read_anode, vessel.anodes));
    keep_first(reader.finish());
    if (error) return *error;
    return vessel;
}

} // namespace quaycell
