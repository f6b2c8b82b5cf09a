// What readings tell of the hull, as the plan of its anodes takes it.
#pragma once

#include "diagnosis/anode_plan.h"
#include "judging/judged_survey.h"
#include "judging/trace_source.h"

namespace quaycell {

/// Nothing where there is no reading.
std::optional<HullReading> hull_reading(const TraceJudgement& judged);

/// Of the hull in the first state that it was read in; nothing where it was not.
std::optional<HullReading> hull_reading(const JudgedSurvey& judged);

} // namespace quaycell
