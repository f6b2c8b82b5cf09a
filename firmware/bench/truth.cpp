#include "bench/truth.h"

#include <fmt/chrono.h>
#include <fmt/format.h>
#include <fmt/ostream.h>

namespace quaycell::bench {

std::string world_time(const Scenario& scenario, Time when) {
    return fmt::format("{:%Y-%m-%dT%H:%M:%SZ}",
                       scenario.start + std::chrono::floor<std::chrono::seconds>(when));
}

void write_truth(std::ostream& out, const Scenario& scenario, Time until, Time interval) {
    out << "time,potential_mv,temperature_c,salinity_psu\n";
    for (Time when{0}; when <= until; when += interval)
        fmt::print(out, "{},{:.4f},{:.4f},{:.4f}\n", world_time(scenario, when),
                   scenario.potential_mv.at(when), scenario.temperature_c.at(when),
                   scenario.salinity_psu.at(when));
}

} // namespace quaycell::bench
