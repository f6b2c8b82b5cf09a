// Arming a logger and seeing that it records.
#pragma once

#include "cli/command.h"
#include "link/logger.h"

#include <optional>
#include <string>

namespace quaycell {

struct Arming {
    std::uint16_t interval_s;
    wire::FullPolicy policy;
    std::string clock; ///< the time to set (RFC 3339) in place of the computer's; else empty
};

/// The computer's time, or the one that the user gives in its place. Error: wrong_usage.
Result<std::uint32_t> unix_time_from(const std::string& clock);

struct Armed {
    wire::StatusReply status; ///< as the order was answered
    bool reading_seen;        ///< its first reading has been read back
};

/// Sets the clock, arms, and reads the Arm record back from the memory; at intervals of up to a
/// minute the first reading, too. Error besides those of the line: failed, when the memory does not
/// show it.
Result<Armed> arm(Logger& logger, const Arming& arming);

/// What the user has to know when leaving the logger.
void tell_armed(const Logger& logger, const Armed& armed, bool as_json);

} // namespace quaycell
