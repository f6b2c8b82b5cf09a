// A survey as CSV, to work on elsewhere.
#pragma once

#include "judging/judged_survey.h"

#include <string>

namespace quaycell {

/// RFC 4180, a row an entry, what was struck too and marked so. Readings carry what their point has
/// come out as. Times in RFC 3339; an empty field is missing. A text that a spreadsheet would take
/// for a formula gets an apostrophe before it.
std::string survey_csv(const JudgedSurvey& judged);

} // namespace quaycell
