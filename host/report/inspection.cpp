#include "report/inspection.h"

#include "base/table_reader.h"
#include "electrode/budget.h"

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
constexpr std::string_view instrument_title = "instrument";

/// What no meter or cell goes beyond.
constexpr double most_accuracy_mv = 1000, least_mohm = 0.001, most_mohm = 1e6, most_kohm = 1e6;

Result<StatedInstrument> parse_instrument(const toml::table& table, const TomlFile& file) {
    TableReader reader(table, "[instrument]", file);
    reader.require("accuracy_mv");
    reader.require("input_mohm");
    StatedInstrument instrument{
        reader.needed_text("name"), reader.text("calibrated").value_or(""),
        reader.number("accuracy_mv", 0, most_accuracy_mv).value_or(0),
        reader.number("input_mohm", least_mohm, most_mohm).value_or(most_mohm),
        reader.number("source_kohm", 0, most_kohm).value_or(usual_source_kohm)};
    if (auto complaint = reader.finish()) return std::move(*complaint);
    return instrument;
}

} // namespace

Result<Inspection> parse_inspection(std::string_view toml, std::string_view where) {
    const TomlFile file{std::string(where),
                        "`quaycell report --new-inspection` prints a file to start from."};
    const auto parsed = parse_toml(toml, file);
    if (!parsed) return parsed.error();
    TableReader whole(*parsed, "", file);
    whole.require(title);
    const toml::table* const table = whole.table(title);
    const toml::table* const instrument = whole.table(instrument_title);
    if (auto complaint = whole.finish()) return std::move(*complaint);
    TableReader reader(*table, "[inspection]", file);
    Inspection inspection;
    inspection.date = reader.date("date").value_or("");
    for (const Key& key : keys)
        inspection.*key.value = reader.text(key.name).value_or("");
    if (auto complaint = reader.finish()) return std::move(*complaint);
    if (instrument != nullptr) {
        auto stated = parse_instrument(*instrument, file);
        if (!stated) return stated.error();
        inspection.instrument = std::move(*stated);
    }
    return inspection;
}

std::string new_inspection_file() {
    std::string text =
        "# What a report says beside the readings. Leave out what is not known: it is "
        "then named as\n# not stated.\n\n[inspection]\n# date = 2026-05-12\n";
    for (const Key& key : keys)
        text += fmt::format("# {} = \"\"{}{}\n", key.name, key.meaning.empty() ? "" : "  # ",
                            key.meaning);
    return text +
           "\n# [instrument]        # only of readings that were taken with a meter and written "
           "down\n"
           "# name = \"a hand meter\"\n# calibrated = \"\"     # when, against what\n"
           "# accuracy_mv = 5      # plus or minus, at such potentials, by its data sheet\n"
           "# input_mohm = 10      # input resistance\n"
           "# source_kohm = 10     # of cell, lead and clip together\n";
}

} // namespace quaycell
