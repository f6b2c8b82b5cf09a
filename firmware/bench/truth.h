// What a perfect observer would have seen.
#pragma once

#include "bench/sea/scenario.h"

#include <ostream>

namespace quaycell::bench {

/// RFC 3339 in UTC, to the second.
std::string world_time(const Scenario& scenario, Time when);

/// CSV: time, potential_mv on agcl/seawater, temperature_c, salinity_psu; from the start of the
/// scenario up to `until`, one row every `interval`.
void write_truth(std::ostream& out, const Scenario& scenario, Time until, Time interval);

} // namespace quaycell::bench
