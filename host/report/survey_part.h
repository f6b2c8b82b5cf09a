// What a report says of a survey.
#pragma once

#include "base/zone.h"
#include "chart/text_width.h"
#include "diagnosis/survey_findings.h"
#include "report/document.h"

#include <vector>

namespace quaycell {

/// The points of one state of the boat on the outline of the hull.
struct DrawnState {
    SurveyState state;
    Scene chart;
};

/// Each state with the anodes connected in which points were read that say where they are, in the
/// order of the walk.
std::vector<DrawnState> survey_charts(const SurveyAssessment& assessment, double width_mm,
                                      const TextWidth& text_width);

/// What is referred to outlives the call only.
struct ReportedSurvey {
    std::vector<Entry> facts; ///< who, when, with what
    const Survey& survey;
    const SurveyAssessment& assessment;
    const std::vector<SurveyFinding>& findings;
    std::vector<DrawnState> charts;
};

/// What was read and compared; what is thought of it (the findings) stands elsewhere.
Section survey_section(const ReportedSurvey& reported, const Zone& zone);

/// The survey in a few facts, for a report of nothing else.
void add_survey_in_short(const ReportedSurvey& reported, const Zone& zone, Section& section);

} // namespace quaycell
