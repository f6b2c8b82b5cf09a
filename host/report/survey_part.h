// What a report says of a survey.
#pragma once

#include "base/zone.h"
#include "chart/text_width.h"
#include "diagnosis/survey_findings.h"
#include "report/document.h"

#include <optional>
#include <vector>

namespace quaycell {

/// The points of the first pass with the anodes connected that say where they are, on the outline
/// of the hull; nothing where none does.
std::optional<Scene> survey_chart(const SurveyAssessment& assessment, double width_mm,
                                  const TextWidth& text_width);

/// What is referred to outlives the call only.
struct ReportedSurvey {
    std::vector<Entry> facts; ///< who, when, with what
    const Survey& survey;
    const SurveyAssessment& assessment;
    const std::vector<SurveyFinding>& findings;
    std::optional<Scene> chart;
};

/// What was read and compared; what is thought of it (the findings) stands elsewhere.
Section survey_section(const ReportedSurvey& reported, const Zone& zone);

/// The survey in a few facts, for a report of nothing else.
void add_survey_in_short(const ReportedSurvey& reported, const Zone& zone, Section& section);

} // namespace quaycell
