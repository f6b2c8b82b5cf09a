#include "judging/survey_answer.h"

#include "electrode/potential.h"
#include "judging/options.h"

#include <array>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <sstream>
#include <vector>

namespace quaycell {

namespace {

struct Row {
    std::string_view name;
    SurveyWord word;
    std::string_view behind; ///< what has to stand there; empty: nothing
    std::string_view help;
};

constexpr std::array rows{
    Row{"skip", SurveyWord::skip, "WHY", "leave this point out"},
    Row{"back", SurveyWord::back, "", "to the point before; a reading there is a repeat"},
    Row{"go", SurveyWord::go, "POINT", "to that point"},
    Row{"note", SurveyWord::note, "TEXT", "on this point"},
    Row{"photo", SurveyWord::photo, "FILE", "the name of a photo of this point"},
    Row{"reference", SurveyWord::reference, "V", "what the reference instrument shows there"},
    Row{"strike", SurveyWord::strike, "WHY", "the last reading does not count, but is kept"},
    Row{"plug", SurveyWord::plug, "",
        "to plug shore power in, for a pass of its own: how, then done"},
    Row{"unplug", SurveyWord::unplug, "", "to unplug it"},
    Row{"anodes-off", SurveyWord::anodes_off, "", "to disconnect the anodes"},
    Row{"anodes-on", SurveyWord::anodes_on, "", "to connect them"},
    Row{"done", SurveyWord::done, "", "it is plugged in, unplugged, disconnected, connected now"},
    Row{"cancel", SurveyWord::cancel, "", "it is not, and stays as it was"},
    Row{"dock", SurveyWord::dock, "", "read the earth of the dock"},
    Row{"check", SurveyWord::check, "MV", "between this cell and a second one beside it"},
    Row{"add", SurveyWord::add, "POINT[=METAL]", "a bonded point to the walk"},
    Row{"list", SurveyWord::list, "", "what has been read"},
    Row{"help", SurveyWord::help, "", "these words"},
    Row{"quit", SurveyWord::quit, "", "leave it; --resume goes on"},
    Row{"finish", SurveyWord::finish, "", "the survey is complete"}};

bool is_number(std::string_view text) {
    return text.find_first_of("-+0123456789.") == 0 || text.starts_with("\u2212"); // as printed
}

bool is_unit(std::string_view word) {
    return word == "V" || word == "v" || word == "mV" || word == "mv" || word == "MV";
}

/// The numbers of a line, each with the unit that stands behind it, with a blank between or
/// without.
std::vector<std::string> numbers_in(const std::string& typed) {
    std::vector<std::string> numbers;
    std::istringstream words(typed);
    for (std::string word; words >> word;)
        if (is_unit(word) && !numbers.empty())
            numbers.back() += word;
        else
            numbers.push_back(std::move(word));
    return numbers;
}

std::string_view without_blanks_around(std::string_view text) {
    constexpr std::string_view blanks = " \t\r\n";
    const std::size_t first = text.find_first_not_of(blanks);
    if (first == std::string_view::npos) return {};
    return text.substr(first, text.find_last_not_of(blanks) - first + 1);
}

} // namespace

Result<SurveyAnswer> survey_answer(std::string_view typed_line) {
    const std::string_view line = without_blanks_around(typed_line);
    if (line == "!" || line == "x")
        return Error{ErrorCode::wrong_usage,
                     fmt::format("nothing is being read for {} to end", line), "",
                     "Enter begins a reading; while it lasts ! takes it as it is, x leaves it"};
    if (line.empty() || is_number(line)) return SurveyAnswer{SurveyWord::read, std::string(line)};
    const std::size_t blank = line.find(' ');
    const std::string_view typed = line == "?" ? "help" : line.substr(0, blank);
    const std::string rest(blank == std::string_view::npos
                               ? std::string_view()
                               : line.substr(line.find_first_not_of(' ', blank)));
    std::vector<const Row*> meant;
    std::vector<std::string_view> names;
    for (const Row& row : rows) {
        if (!row.name.starts_with(typed)) continue;
        meant.push_back(&row);
        names.push_back(row.name);
    }
    if (meant.empty())
        return Error{ErrorCode::wrong_usage, fmt::format("\"{}\" is no word of a survey", typed),
                     "", "Type ? for those there are"};
    if (meant.size() > 1)
        return Error{ErrorCode::wrong_usage,
                     fmt::format("\"{}\" may be {}", typed, fmt::join(names, ", ")), "",
                     "Type more of it"};
    const Row& row = *meant.front();
    if (!row.behind.empty() && rest.empty())
        return Error{ErrorCode::wrong_usage, fmt::format("{} needs {}", row.name, row.behind), "",
                     fmt::format("Type {} {}", row.name, row.behind)};
    if (row.behind.empty() && !rest.empty())
        return Error{ErrorCode::wrong_usage, fmt::format("nothing stands behind {}", row.name), "",
                     fmt::format("Type {} alone, or note {}", row.name, rest)};
    return SurveyAnswer{row.word, rest};
}

Result<TypedReading> typed_reading(const std::string& typed) {
    const auto numbers = numbers_in(typed);
    if (numbers.empty() || numbers.size() > 2)
        return Error{ErrorCode::wrong_usage, fmt::format("\"{}\" is no reading", typed), "",
                     "Type DC, as -870, and AC behind it where it was measured"};
    const auto dc_mv = potential_from(numbers.front(), "");
    if (!dc_mv) return dc_mv.error();
    if (numbers.size() == 1) return TypedReading{*dc_mv, {}};
    const auto ac_mv = parse_potential_mv(numbers.back());
    if (!ac_mv) return ac_mv.error();
    if (*ac_mv < 0)
        return Error{ErrorCode::wrong_usage, "AC has no sign", "", "Type DC first, AC behind it"};
    return TypedReading{*dc_mv, *ac_mv};
}

Result<SurveyPoint> typed_point(const std::string& typed) {
    const std::size_t equals = typed.rfind('=');
    SurveyPoint point{typed.substr(0, equals), PointRole::bonded, "", {}};
    if (point.name.empty())
        return Error{ErrorCode::wrong_usage, "a point needs a name", "", "Write POINT[=METAL]"};
    if (equals == std::string::npos) return point;
    const auto metal = metal_named(typed.substr(equals + 1));
    if (!metal) return metal.error();
    point.metal = name_of(*metal);
    return point;
}

std::string survey_help() {
    std::string text = "  Enter: read with the logger (then ! takes it unsettled, x leaves it)\n"
                       "  -870 or -0.87V, and AC behind it: as the multimeter shows\n";
    for (const Row& row : rows)
        text += fmt::format("  {} {}{}{}\n", row.name, row.behind, row.behind.empty() ? "" : " ",
                            fmt::format("- {}", row.help));
    return text;
}

} // namespace quaycell
