// The commands under `anodes`, each in the file of its name.
#pragma once

#include "cli/command.h"
#include "judging/boat.h"

#include <string_view>

namespace quaycell {

void add_anodes_choose(CLI::App& anodes, Action& action);
void add_anodes_size(CLI::App& anodes, Action& action);
void add_anodes_log(CLI::App& anodes, Action& action);
void add_anodes_wear(CLI::App& anodes, Action& action);
void add_anodes_plan(CLI::App& anodes, Action& action);

/// What stands under whatever the anodes' commands say.
inline constexpr std::string_view anodes_footing =
    "Estimates do not replace a reading: measure after fitting, and again when they are half gone. "
    "Nobody goes into the water at a dock with power on it, to look at anodes either.";

/// The boat whose scale does not matter here.
Result<Boat> boat_for_anodes(const BoatOptions& options);

} // namespace quaycell
