// A survey judged for a boat, with what was found.
#pragma once

#include "diagnosis/survey_findings.h"
#include "judging/boat.h"
#include "judging/kept_survey.h"

#include <boost/json/fwd.hpp>
#include <string>
#include <vector>

namespace quaycell {

/// The assessment refers to the survey's points and entries.
struct JudgedSurvey {
    KeptSurvey kept;
    Boat boat;
    CellBeforeAfter cell;
    SurveyAssessment assessment;
    std::vector<SurveyFinding> findings;
    std::vector<std::string> remarks; ///< comparisons of the cell, in words
    Budget budget;                    ///< of one reading
    Instant first;                    ///< of its readings; of its beginning where there is none
    Instant last;
};

/// What the survey tells of cell and water counts, as with a trace. `checks`: all of the archive.
Result<JudgedSurvey> judge_survey(KeptSurvey kept, const BoatOptions& options,
                                  const std::vector<CellCheckRow>& checks);

/// "unplugged, anodes connected"
std::string state_words(SurveyState state);

/// How a point has come out in that state, and what was found about it.
std::string point_text(const JudgedSurvey& judged, std::string_view point, SurveyState state);

std::string survey_text(const JudgedSurvey& judged);
boost::json::object survey_json(const JudgedSurvey& judged);

} // namespace quaycell
