// The sentences of what a survey can find, with what tells and what to beware of.
#pragma once

#include <string_view>

namespace quaycell {

/// What stands beside the numbers of a finding.
struct SurveyWords {
    std::string_view id;
    std::string_view what; ///< after the numbers
    std::string_view test;
    std::string_view caution;
    std::string_view source; ///< empty: that of the rule of practice that decides
    std::string_view status;
};

/// Of an id that has to exist.
const SurveyWords& survey_words(std::string_view id);

} // namespace quaycell
