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
};

/// The bands of the rules that count, least negative first. Where the limits of hull and metals do
/// not meet, bands overlap. With rules that cannot judge, one band without verdict says why.
std::vector<ChartBand> bands_of(const Rules& rules);

/// "−950 to −1100 mV", "less negative than −950 mV", "more negative than −1100 mV".
std::string limits_text(const ChartBand& band);

} // namespace quaycell
