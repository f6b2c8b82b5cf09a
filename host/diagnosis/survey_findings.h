// What a survey has found, in words: what is the matter, what tells, what to beware of.
#pragma once

#include "electrode/cell_check.h"
#include "survey/assessment.h"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace quaycell {

/// The limits of the rules of practice.
SurveyLimits survey_limits();

/// What comparing the cell before and after the walk has found; absent: nobody compared it.
struct CellBeforeAfter {
    std::optional<CellComparison> before;
    std::optional<CellComparison> after;
};

struct SurveyFinding {
    std::string_view id;
    std::string point;        ///< the fitting it is about; empty: the survey as a whole
    std::string what;         ///< a sentence or two, with the numbers
    std::string_view test;    ///< what to do next; may be empty
    std::string_view caution; ///< of that; may be empty
    std::string source;       ///< of the rule
    std::string status;       ///< in words, as in Cause
};

/// Hazards first, then what makes readings worth nothing, then the metal, then what the survey
/// lacks.
std::vector<SurveyFinding> survey_findings(const Survey& survey, const SurveyAssessment& assessment,
                                           const CellBeforeAfter& cell);

} // namespace quaycell
