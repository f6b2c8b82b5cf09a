// A survey as one document that goes with a report, so that it can be read again without the
// archive.
#pragma once

#include "judging/kept_survey.h"

#include <optional>
#include <string>
#include <string_view>

namespace quaycell {

/// The newest finished survey of that boat in the archive that has readings. Nothing where there is
/// none.
Result<std::optional<std::int64_t>> newest_survey(Archive& archive, const std::string& boat);

/// The survey of that number as JSON. Error besides those of load_survey(): refused, where it is
/// not finished or nothing was read.
Result<std::string> survey_document(Archive& archive, std::int64_t number,
                                    const std::string& archive_file);

/// Error besides those of survey_from(): wrong_input, another document.
Result<KeptSurvey> parse_survey_document(std::string_view document, const std::string& where);

} // namespace quaycell
