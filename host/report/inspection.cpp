#include "report/inspection.h"

#include "base/table_reader.h"

#include <fmt/format.h>

namespace quaycell {

namespace {

struct Key {
    std::string_view name;
    std::string Inspection::*value;
    std::string_view meaning;
};
constexpr Key keys[] = {
    {"number", &Inspection::number, "of the report"},
    {"prepared_by", &Inspection::prepared_by, "who signs"},
    {"qualification", &Inspection::qualification, "what entitles to it"},
    {"prepared_for", &Inspection::prepared_for, "who asked for it"},
    {"place", &Inspection::place, "where the boat lay"},
    {"scope", &Inspection::scope, "what was to be found out"},
    {"limits", &Inspection::limits, "what could not be: access, time, ice"},
    {"weather", &Inspection::weather, ""},
    {"tide", &Inspection::tide, ""},
    {"cell_hung", &Inspection::cell_hung, "where: depth, side, distance from metal and anodes"},
    {"connection", &Inspection::connection, "what the hull lead was clipped to"},
    {"polarity", &Inspection::polarity, "which lead was on which jack"},
    {"shore_power", &Inspection::shore_power, "plugged in or not, charger, galvanic isolator"},
    {"since_launch", &Inspection::since_launch, "how long afloat, and with these anodes"},
    {"coating", &Inspection::coating, "kind and age"},
    {"opinion", &Inspection::opinion, "what the surveyor makes of it"},
    {"not_inspected", &Inspection::not_inspected, "engine cooling, tanks, ..."},
};
constexpr std::string_view title = "inspection";

} // namespace

Result<Inspection> parse_inspection(std::string_view toml, std::string_view where) {
    const TomlFile file{std::string(where),
                        "`quaycell report --new-inspection` prints a file to start from."};
    const auto parsed = parse_toml(toml, file);
    if (!parsed) return parsed.error();
    TableReader whole(*parsed, "", file);
    whole.require(title);
    const toml::table* const table = whole.table(title);
    if (auto complaint = whole.finish()) return std::move(*complaint);
    TableReader reader(*table, "[inspection]", file);
    Inspection inspection;
    inspection.date = reader.date("date").value_or("");
    for (const Key& key : keys)
        inspection.*key.value = reader.text(key.name).value_or("");
    if (auto complaint = reader.finish()) return std::move(*complaint);
    return inspection;
}

std::string new_inspection_file() {
    std::string text =
        "# What a report says beside the readings. Leave out what is not known: it is "
        "then named as\n# not stated.\n\n[inspection]\n# date = 2026-05-12\n";
    for (const Key& key : keys)
        text += fmt::format("# {} = \"\"{}{}\n", key.name, key.meaning.empty() ? "" : "  # ",
                            key.meaning);
    return text;
}

} // namespace quaycell
