// Leads a person from point to point and keeps each reading in the archive as it is taken.
#pragma once

#include "archive/archive.h"
#include "cli/answers.h"
#include "judging/boat.h"
#include "judging/kept_survey.h"
#include "link/logger.h"

#include <string>

namespace quaycell {

struct WalkedSurvey {
    Archive& archive;
    const BoatOptions& boat;
    Logger* logger; ///< null: readings are typed in
    SurveyState state;
    std::string author;
};

/// Until the walk is finished, or left to be resumed, which is said. Errors: refused (more AC than
/// a survey goes on with; the answers end), interrupted, and those of archive and logger. Whatever
/// was read is kept.
Result<Done> walk(KeptSurvey& kept, const WalkedSurvey& around, Answers& answers);

} // namespace quaycell
