// What only the people who were there know: who, for whom, where the cell hung, what was not looked
// at. Written by hand in TOML.
#pragma once

#include "base/result.h"

#include <optional>
#include <string>
#include <string_view>

namespace quaycell {

/// A meter that was read by hand.
struct StatedInstrument {
    std::string name;
    std::string calibrated; ///< when and against what; empty: not stated
    double accuracy_mv;     ///< half width, at the potentials that were read
    double input_mohm;
    double source_kohm; ///< of cell, lead and contact
};

/// Empty: not stated.
struct Inspection {
    std::string number; ///< of the report
    std::string date;   ///< of the report, 2026-05-12
    std::string prepared_by;
    std::string qualification;
    std::string prepared_for;
    std::string place;
    std::string scope;
    std::string limits;
    std::string weather;
    std::string tide;
    std::string cell_hung;
    std::string connection;
    std::string polarity;
    std::string shore_power;
    std::string since_launch;
    std::string coating;
    std::string opinion;
    std::string not_inspected;
    std::optional<StatedInstrument> instrument{}; ///< of readings that no logger took
};

/// Reads an inspection file. Unknown keys and wrong types are errors (wrong_input) whose place is
/// "WHERE:line".
Result<Inspection> parse_inspection(std::string_view toml, std::string_view where);

/// A file to start from, with every key explained.
std::string new_inspection_file();

} // namespace quaycell
