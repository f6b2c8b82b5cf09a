// --zone: whose clocks times are shown by, out of the machine's tables.
#pragma once

#include "base/zone.h"

namespace CLI {
class App;
}

namespace quaycell {

void add_zone_option(CLI::App& command, std::string& name);

/// The zone of that name in the IANA time zone database, with all its changes of the clocks from
/// `from` to `to`. Error (wrong_usage): there is none, or no database.
Result<Zone> zone_named(const std::string& name, Instant from, Instant to);

} // namespace quaycell
