// What to say to the person on the pontoon at a step of a survey, or while a logger is read live.
#pragma once

#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace quaycell {

enum class SurveyStep {
    begin,
    unplug,
    plug_in,
    disconnect_anodes,
    connect_anodes,
    dock_earth,
    compare_cell,
    ac_seen, ///< above the level at which whoever measures stops
};

struct StepWords {
    SurveyStep step;
    std::string_view what;    ///< what to do; may be empty
    std::string_view caution; ///< may be empty
    std::string_view source;
    std::string_view status; ///< in words
};

/// Several to a step, in the order in which they are said.
std::span<const StepWords> survey_step_words();

/// What to do and what to beware of at a step, each a text of its own, in the order of the table.
std::vector<std::string> words_at(SurveyStep step);

} // namespace quaycell
