// What a perfect observer would have seen.
#pragma once

#include "bench/sea/scenario.h"

#include <ostream>

namespace quaycell::bench {

/// RFC 3339 in UTC, to the second.
std::string world_time(const Scenario& scenario, Time when);

/// A CSV that grows with the world: time, potential_mv on agcl/seawater, temperature_c,
/// salinity_psu.
class TruthTable {
  public:
    /// One row every `interval` from the start of the scenario; `out` and `scenario` outlive the
    /// table.
    TruthTable(std::ostream& out, const Scenario& scenario, Time interval);

    /// Adds the rows up to and with `now`.
    void write_until(Time now);

  private:
    std::ostream& out_;
    const Scenario& scenario_;
    Time interval_;
    Time next_{0};
};

} // namespace quaycell::bench
