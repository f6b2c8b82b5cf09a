// The commands on standard input that break something of the board and mend it again.
#pragma once

#include "bench/board.h"

#include <span>
#include <string>

namespace quaycell::bench {

/// Carries out what the words of a line say, and returns the answer: the words again, or
/// "error: ...". Nothing when the line is none of these commands.
std::optional<std::string> break_or_mend(Board& board, std::span<const std::string> words);

/// For the program's help, one line per command.
extern const char* const fault_commands_help;

} // namespace quaycell::bench
