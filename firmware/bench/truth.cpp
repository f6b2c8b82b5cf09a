#include "bench/truth.h"

#include <fmt/chrono.h>
#include <fmt/format.h>
#include <fmt/ostream.h>

namespace quaycell::bench {

std::string world_time(const Scenario& scenario, Time when) {
    return fmt::format("{:%Y-%m-%dT%H:%M:%SZ}",
                       scenario.start + std::chrono::floor<std::chrono::seconds>(when));
}

TruthTable::TruthTable(std::ostream& out, const Scenario& scenario, Time interval)
    : out_(out), scenario_(scenario), interval_(interval) {
    out_ << "time,potential_mv,temperature_c,salinity_psu\n";
}

void TruthTable::write_until(Time now) {
    if (next_ > now) return;
    for (; next_ <= now; next_ += interval_)
        fmt::print(out_, "{},{:.4f},{:.4f},{:.4f}\n", world_time(scenario_, next_),
                   scenario_.potential_mv.at(next_), scenario_.temperature_c.at(next_),
                   scenario_.salinity_psu.at(next_));
    out_.flush();
}

} // namespace quaycell::bench
