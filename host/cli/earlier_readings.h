// What a logger holds when it is to be armed anew or erased.
#pragma once

#include "cli/command.h"
#include "link/logger.h"

#include <string>

namespace quaycell {

/// What to do about readings that no archive has, for commands that can be told twice.
inline constexpr const char* told_twice =
    "Name an archive to bring them into with --archive; or, to lose them, say --discard-readings "
    "twice.";

/// Brings what the logger holds into the archive and ends its recording, so that nothing is lost
/// when it lets go. A logger without readings passes at once.
/// Errors: refused when it holds readings and no archive is named (`remedy` says what else may be
/// done); those of collect().
Outcome keep_earlier_readings(Logger& logger, const std::string& archive_file,
                              const std::string& remedy);

} // namespace quaycell
