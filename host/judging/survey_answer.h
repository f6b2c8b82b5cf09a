// The words that a person types on a survey.
#pragma once

#include "base/result.h"
#include "survey/survey.h"

#include <optional>
#include <string>
#include <string_view>

namespace quaycell {

enum class SurveyWord {
    read, ///< an empty line, or a number
    skip,
    back,
    note,
    photo,
    reference,
    strike,
    plug,
    unplug,
    anodes_off,
    anodes_on,
    done,   ///< what was asked for is done
    cancel, ///< it is not, and will not be
    dock,
    check,
    add,
    go,
    list,
    help,
    quit,
    finish,
};

struct SurveyAnswer {
    SurveyWord word;
    std::string rest; ///< what stands behind the word, or the number
};

/// A word may be shortened as long as it is no other's beginning; blanks around the line are of no
/// meaning. Error (wrong_usage): it is none;
/// what has to stand behind it is missing.
Result<SurveyAnswer> survey_answer(std::string_view line);

/// What a multimeter shows.
struct TypedReading {
    double potential_mv;
    std::optional<double> ac_mv;
};

/// "-870" or "-0.87V", and AC behind it. Error (wrong_input or wrong_usage): something else.
Result<TypedReading> typed_reading(const std::string& typed);

/// "rudder=stainless-austenitic": a bonded point. Error: wrong_usage.
Result<SurveyPoint> typed_point(const std::string& typed);

/// One line a word, for a person.
std::string survey_help();

} // namespace quaycell
