// A survey as one document that goes with a report, so that it can be read again without the
// archive.
#pragma once

#include "judging/kept_survey.h"

#include <optional>
#include <string>
#include <string_view>

namespace quaycell {

/// The newest finished survey of that boat in the archive that has readings, as JSON. Nothing where
/// there is none.
Result<std::optional<std::string>> survey_document(Archive& archive, const std::string& boat);

/// Error besides those of survey_from(): wrong_input, another document.
Result<KeptSurvey> parse_survey_document(std::string_view document, const std::string& where);

} // namespace quaycell
