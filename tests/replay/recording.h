// A conversation between host and logger as it went over the line, and what it means.
#pragma once

#include "link/session.h"

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace quaycell::replay {

enum class Side { host, logger };

/// What one side sent, as it came in one piece.
struct Piece {
    Side from;
    Milliseconds at; ///< since the recording began
    std::vector<std::uint8_t> bytes;
};

/// Reads lines of "host 12 0001fe" or "logger 15 81..": side, milliseconds, bytes in hexadecimal.
/// Lines that begin with '#' and empty ones are passed over. Throws std::runtime_error with the
/// number of a line that is neither.
std::vector<Piece> read_recording(std::string_view text);

/// Plays a recording through the frame reader and a session of today: what the host asks, what the
/// session makes of the answers, what it rejects, one a line. Slots that follow one another are
/// one line.
std::string events_of(const std::vector<Piece>& pieces);

} // namespace quaycell::replay
