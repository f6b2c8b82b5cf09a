// Two documents of one survey.
#pragma once

#include <string>
#include <string_view>

namespace quaycell {

/// The first difference between what a report states of a survey and what an archive holds of it,
/// in words; empty where there is none. Both as survey_document() writes them; what cannot be read
/// is a difference.
std::string first_difference_of_surveys(std::string_view stated, std::string_view held);

} // namespace quaycell
