// Leads a person from point to point in a terminal.
#pragma once

#include "cli/answers.h"
#include "judging/survey_walk.h"
#include "link/logger.h"

namespace quaycell {

/// The logger that reads a survey.
struct SurveyLogger {
    Logger& logger;
    const LoggerFacts& facts;
};

/// Until the walk is finished, or left to be resumed, which is said. `reader`: null when readings
/// are typed in. Errors: refused (more AC than a survey goes on with; the answers end),
/// interrupted, and those of archive and logger. Whatever was read is kept.
Result<Done> talk_through(SurveyWalk& walk, const SurveyLogger* reader, Answers& answers);

} // namespace quaycell
