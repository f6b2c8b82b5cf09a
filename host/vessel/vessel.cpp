#include "vessel/vessel.h"

#include "vessel/table_reader.h"

#include <algorithm>
#include <array>
#include <fmt/format.h>

namespace quaycell {

namespace {

constexpr double most_metres = 500; ///< no boat is longer

/// Reads [water]. Only shapes and plain limits are checked here; the electrode model knows its
/// ranges.
WaterFacts read_water(TableReader& reader) {
    WaterFacts facts;
    facts.kind = reader.text("kind");
    if (facts.kind && *facts.kind != "sea" && *facts.kind != "brackish" && *facts.kind != "fresh")
        reader.complain("kind", fmt::format("\"{}\" is not a kind of water", *facts.kind),
                        "The kinds are: sea, brackish, fresh.");
    facts.salinity_psu = reader.range("salinity_psu", 0.05, 42);
    facts.conductivity_ms_cm = reader.range("conductivity_ms_cm", 0.01, 100);
    facts.conductivity_25_ms_cm = reader.range("conductivity_25_ms_cm", 0.01, 100);
    facts.chloride_mg_l = reader.range("chloride_mg_l", 0.1, 25000);
    facts.temperature_c = reader.number("temperature_c", -2, 40);
    const int given = facts.kind.has_value() + facts.salinity_psu.has_value() +
                      facts.conductivity_ms_cm.has_value() +
                      facts.conductivity_25_ms_cm.has_value() + facts.chloride_mg_l.has_value();
    if (given > 1)
        reader.complain("kind", "the water is described twice",
                        "Keep one of kind, salinity_psu, conductivity_ms_cm, "
                        "conductivity_25_ms_cm and chloride_mg_l.");
    return facts;
}

std::optional<Scale> read_scale(TableReader& reader, std::string_view key) {
    const auto name = reader.text(key);
    if (!name) return std::nullopt;
    const auto scale = scale_named(*name);
    if (scale) return *scale;
    reader.complain(key, scale.error().what, scale.error().remedy);
    return std::nullopt;
}

CellFacts read_cell(TableReader& reader) {
    CellFacts facts;
    facts.scale = read_scale(reader, "scale");
    facts.serial = reader.text("serial").value_or("");
    facts.last_check = reader.date("last_check").value_or("");
    return facts;
}

BaselineFacts read_baseline(TableReader& reader) {
    reader.require("potential_mv");
    BaselineFacts facts;
    facts.potential_mv = reader.number("potential_mv", -2000, 1000).value_or(0);
    facts.scale = read_scale(reader, "scale").value_or(Scale::agcl_open);
    facts.date = reader.date("date").value_or("");
    return facts;
}

MetalFacts read_metal(TableReader& reader) {
    reader.require("name");
    reader.require("kind");
    MetalFacts facts{reader.text("name").value_or(""), reader.text("kind").value_or("")};
    if (const auto known = metal_named(facts.kind); !facts.kind.empty() && !known)
        reader.complain("kind", known.error().what, known.error().remedy);
    return facts;
}

PointFacts read_point(TableReader& reader) {
    reader.require("name");
    return {reader.text("name").value_or(""), reader.text("metal").value_or("")};
}

AnodeFacts read_anode(TableReader& reader) {
    reader.require("place");
    AnodeFacts facts;
    facts.place = reader.text("place").value_or("");
    facts.alloy = reader.text("alloy").value_or("");
    constexpr std::array<std::string_view, 3> alloys{"zinc", "aluminium", "magnesium"};
    if (!facts.alloy.empty() && std::ranges::find(alloys, facts.alloy) == alloys.end())
        reader.complain("alloy", fmt::format("\"{}\" is not an anode alloy", facts.alloy),
                        "The alloys are: zinc, aluminium, magnesium.");
    facts.mass_kg = reader.number("mass_kg", 0.001, 10000);
    facts.fitted = reader.date("fitted").value_or("");
    return facts;
}

void read_boat(TableReader& reader, Vessel& vessel) {
    reader.require("name");
    reader.require("hull");
    vessel.name = reader.text("name").value_or("");
    if (const auto name = reader.text("hull")) {
        const auto hull = hull_named(*name);
        if (hull)
            vessel.hull = *hull;
        else
            reader.complain("hull", hull.error().what, hull.error().remedy);
    }
    vessel.berth = reader.text("berth").value_or("");
    vessel.length_m = reader.number("length_m", 0.1, most_metres);
    vessel.beam_m = reader.number("beam_m", 0.1, most_metres);
    vessel.draught_m = reader.number("draught_m", 0.01, most_metres);
}

/// Applies `read` to the table `key`, where it is there, and carries its complaint outside.
template <typename Read>
std::optional<Error> in_table(TableReader& root, std::string_view key, std::string_view where,
                              const Read& read) {
    const toml::table* table = root.table(key);
    if (table == nullptr) return std::nullopt;
    TableReader reader(*table, fmt::format("[{}]", key), where);
    read(reader);
    return reader.finish();
}

template <typename Facts, typename Read>
std::optional<Error> in_list(TableReader& root, std::string_view key, std::string_view where,
                             const Read& read, std::vector<Facts>& into) {
    const toml::array* list = root.list_of_tables(key);
    if (list == nullptr) return std::nullopt;
    for (const toml::node& entry : *list) {
        TableReader reader(*entry.as_table(), fmt::format("[[{}]]", key), where);
        into.push_back(read(reader));
        if (auto error = reader.finish()) return error;
    }
    return std::nullopt;
}

} // namespace

Result<Vessel> parse_vessel(std::string_view toml, std::string_view where) {
    toml::table root;
    try {
        root = toml::parse(toml, where);
    } catch (const toml::parse_error& error) {
        return Error{
            ErrorCode::wrong_input, std::string(error.description()),
            fmt::format("{}:{}:{}", where, error.source().begin.line, error.source().begin.column),
            "The vessel file is TOML; `quaycell vessel new` writes one to start from."};
    }

    Vessel vessel;
    TableReader reader(root, "", where);
    reader.require("vessel");
    std::optional<Error> error;
    const auto keep_first = [&error](std::optional<Error> found) {
        if (!error) error = std::move(found);
    };
    keep_first(in_table(reader, "vessel", where, [&](auto& r) { read_boat(r, vessel); }));
    keep_first(in_table(reader, "water", where, [&](auto& r) { vessel.water = read_water(r); }));
    keep_first(in_table(reader, "cell", where, [&](auto& r) { vessel.cell = read_cell(r); }));
    keep_first(in_table(reader, "rules", where,
                        [&](auto& r) { vessel.rule_set = r.text("set").value_or(""); }));
    keep_first(
        in_table(reader, "baseline", where, [&](auto& r) { vessel.baseline = read_baseline(r); }));
    keep_first(in_list(reader, "metal", where, read_metal, vessel.metals));
    keep_first(in_list(reader, "point", where, read_point, vessel.points));
    keep_first(in_list(reader, "anode", where, read_anode, vessel.anodes));
    keep_first(reader.finish());
    if (error) return *error;
    return vessel;
}

} // namespace quaycell
