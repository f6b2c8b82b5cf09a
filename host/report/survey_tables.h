// The tables of a survey.
#pragma once

#include "base/zone.h"
#include "report/document.h"
#include "survey/assessment.h"

namespace quaycell {

/// What was read or is published, to the millivolt.
std::string as_read(double mv);

/// "shore power unplugged, anodes connected"
std::string state_text(SurveyState state);

/// Of each point its readings in one state of the boat, with how far they scatter.
Table points_table(const SurveyAssessment& assessment);

/// Every reading as it was taken, struck ones included.
Table readings_table(const Survey& survey, const Zone& zone);

/// What does not count, and why; what was noted.
Table remarks_table(const Survey& survey, const Zone& zone);

} // namespace quaycell
