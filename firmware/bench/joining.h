// The commands of a person who joins sources to the logger.
#pragma once

#include "bench/sea/calibrator.h"

#include <optional>
#include <sstream>
#include <string>

namespace quaycell::bench {

/// Does the command and returns the answer, "error: ..." where its words are wrong; nothing when it
/// is none of "source", "ac", "open", "sea" and "board".
std::optional<std::string> join(Calibrator& calibrator, Time now, const std::string& command,
                                std::istringstream& words);

} // namespace quaycell::bench
