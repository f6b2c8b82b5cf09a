// What measured a trace, and how far it was checked.
#pragma once

#include "cli/trace_source.h"
#include "report/document.h"

namespace quaycell {

struct InstrumentFacts {
    std::vector<Entry> entries;
    std::vector<std::string> cell_checks; ///< comparisons of the cell that count for the trace
};

/// From the archive, where the trace is out of one; else only what the trace says of itself.
Result<InstrumentFacts> instrument_of(const TraceOptions& source, const TraceJudgement& judgement);

} // namespace quaycell
