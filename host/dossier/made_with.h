// With what a report was made, so that it can be made again elsewhere and at another time: program,
// options, clock, time zone, fonts.
#pragma once

#include "base/result.h"
#include "base/zone.h"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace quaycell {

struct MadeWith {
    std::string program;           ///< its version
    std::vector<std::string> said; ///< as said_options() tells
    /// The computer's, where readings lay ahead of it: only there does it change what is said. A
    /// report that always told it would not be the same twice.
    std::optional<Instant> clock;
    /// Of --zone, about the time of the readings, as the tables of that computer have it; empty for
    /// UTC.
    std::vector<ZoneStretch> zone;
    std::string drawn_with; ///< as drawing_fingerprint() tells
};

/// Of this program.
std::string program_version();

/// As a JSON document, and back. Error (wrong_input): another document.
std::string made_with_document(const MadeWith& with);
Result<MadeWith> parse_made_with(std::string_view document);

/// All that a zone consists of, empty for UTC; and whether two say the same, but for when the first
/// stretch began.
std::vector<ZoneStretch> stretches_of(const Zone& zone);
bool are_same(const std::vector<ZoneStretch>& one, const std::vector<ZoneStretch>& other);

} // namespace quaycell
