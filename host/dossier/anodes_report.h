// The anodes of a report, from the log that goes with it.
#pragma once

#include "dossier/report_content.h"
#include "judging/anode_document.h"
#include "report/anodes_part.h"

namespace quaycell {

/// The log with what follows from it. Nothing depends on today: shares are those of a day that the
/// report states.
struct PlannedLog {
    const AnodeDocument& log;
    AnodePlan plan;
    Instant as_of;
    std::string as_of_by;
};

/// Nothing where no log goes with the report. `last`: of its readings. Errors: a log that cannot be
/// (wrong_input, damaged); a haul-out that was over on the day of the report, or one without a log
/// (wrong_usage).
Result<std::optional<PlannedLog>> planned_log(const ReportOptions& options,
                                              const ReportGrounds& grounds, const Boat& boat,
                                              std::optional<HullReading> reading, Instant last);

/// How much of a log goes with the report; else why there is none.
std::string anode_log_words(const ReportGrounds& grounds, const TraceOrigin& origin);

/// What the report tells of it; refers to `planned`.
ReportedAnodes reported(const PlannedLog& planned, double width_mm, const TextWidth& text_width);

/// All that was computed of it, as a file.
Attachment computed_of(const PlannedLog& planned);

} // namespace quaycell
