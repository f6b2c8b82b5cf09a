// What measured a trace, and how far it was checked.
#pragma once

#include "cli/trace_origin.h"
#include "cli/trace_source.h"
#include "report/document.h"

namespace quaycell {

struct InstrumentFacts {
    std::vector<Entry> entries;
    std::string in_short;                 ///< what measured, and when it was calibrated
    std::vector<std::string> cell_checks; ///< comparisons of the cell that count for the trace
};

/// As the trace's origin tells; a trace CSV tells nothing but its name.
InstrumentFacts instrument_of(const TraceOrigin& origin, const TraceJudgement& judgement);

} // namespace quaycell
