// What measured a trace, and how far it was checked.
#pragma once

#include "dossier/trace_origin.h"
#include "judging/kept_survey.h"
#include "judging/trace_source.h"
#include "report/document.h"
#include "report/inspection.h"

namespace quaycell {

struct InstrumentFacts {
    std::vector<Entry> entries;
    std::string in_short;                 ///< what measured, and when it was calibrated
    std::vector<std::string> cell_checks; ///< comparisons of the cell that count for the trace
};

/// As the trace's origin tells; a trace CSV tells nothing but its
/// name, and its instrument is what somebody states.
InstrumentFacts instrument_of(const TraceOrigin& origin, const TraceJudgement& judgement,
                              const std::optional<StatedInstrument>& stated);

/// Of a survey: what it was read with, and the calibrations that its readings were taken with.
std::vector<Entry> survey_instrument(const KeptSurvey& kept,
                                     const std::optional<StatedInstrument>& stated);

/// The meter that the budget counts. Error (wrong_input): a logger took readings of the trace.
Result<std::optional<StatedMeter>> meter_of(const TraceOrigin& origin,
                                            const std::optional<StatedInstrument>& stated,
                                            const std::string& where);
/// The same of a survey.
Result<std::optional<StatedMeter>> meter_of(const KeptSurvey& kept,
                                            const std::optional<StatedInstrument>& stated,
                                            const std::string& where);

} // namespace quaycell
