// A survey between the archive, which holds words, and survey/, which knows their meaning.
#pragma once

#include "archive/archive.h"
#include "series/logger_facts.h"
#include "survey/survey.h"

#include <optional>
#include <string>
#include <vector>

namespace quaycell {

struct KeptSurvey {
    SurveyRow row;
    Survey survey;
    /// The logger that read it, once for each calibration that it had then, the oldest first; none:
    /// a multimeter.
    std::vector<LoggerFacts> loggers;
    std::optional<double> temperature_c; ///< of the water, as the logger last measured it
};

/// The survey of that number; of 0 the newest one. Readings of a logger come from its raw codes
/// where its circuit is known, each by the calibration that the logger had when it was taken, else
/// as they were shown. Errors besides those of the archive: not_found; damaged, where a word has no
/// meaning.
Result<KeptSurvey> load_survey(Archive& archive, std::int64_t number,
                               const std::string& archive_file);

/// The same from rows; `where` names them in complaints.
Result<KeptSurvey> survey_from(SurveyRow row, const std::vector<SurveyPointRow>& points,
                               const std::vector<SurveyEntryRow>& entries,
                               std::vector<LoggerFacts> loggers, const std::string& where);

SurveyPointRow row_of(const SurveyPoint& point);
SurveyEntryRow row_of(const SurveyEntry& entry, std::vector<std::uint8_t> live_readings);

} // namespace quaycell
