// What a report is made from, as files that go with it.
#pragma once

#include "cli/trace_source.h"
#include "evidence/manifest.h"

namespace quaycell {

/// The readings as they came (records verbatim, or the CSV), what is known of their loggers, the
/// trace as it was judged, all that was computed, and the files written by hand.
Result<std::vector<Attachment>> evidence_of(const TraceOptions& source, const BoatOptions& boat,
                                            const std::string& inspection_file,
                                            const TraceJudgement& judgement);

} // namespace quaycell
