// The bands of potential that a chart shows behind the trace.
#pragma once

#include "protection/rules.h"

#include <string>
#include <vector>

namespace quaycell {

/// What a potential in a range means. An open end is infinite.
struct ChartBand {
    Verdict verdict;
    double from_mv;     ///< less negative end, [mV on agcl/seawater]
    double to_mv;       ///< more negative end
    std::string label;  ///< what the band is: "protected"
    std::string source; ///< of its limits, with its status; may be empty
    bool zone = false;  ///< of doubt around a limit, drawn over the other bands
};

/// The bands of the rules that count, least negative first. What would be protected, but for a
/// metal without a published negative limit, is undecided. Where the limits of hull and metals do
/// not meet, bands overlap. With rules that cannot judge, one band without verdict says why.
std::vector<ChartBand> bands_of(const Rules& rules);

/// The finite ends of bands, each once, least negative first.
std::vector<double> limits_of(const std::vector<ChartBand>& bands);

/// The bands and, drawn over them, the zones in which nothing can be decided because a limit lies
/// less than the expanded uncertainty away.
std::vector<ChartBand> with_undecided(std::vector<ChartBand> bands, double expanded_uncertainty_mv);

/// "−950 to −1100 mV", "less negative than −950 mV", "more negative than −1100 mV"; empty for a
/// band that is open at both ends, and for a zone, which follows from the others' limits.
std::string limits_text(const ChartBand& band);

} // namespace quaycell
