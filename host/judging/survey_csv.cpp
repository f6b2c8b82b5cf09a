#include "judging/survey_csv.h"

#include <algorithm>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <set>

namespace quaycell {

namespace {

constexpr std::string_view header =
    "survey,entry,time,kind,point,role,metal,shore,anodes,counts,potential_mv,cell_scale,spread_mv,"
    "settled,ac_mv,standard_mv,expanded_uncertainty_mv,verdict,off_hull_mv,bond,about,text\r\n";

std::string text_field(std::string text) {
    if (text.find_first_of("=+-@\t\r") == 0) text.insert(0, 1, '\'');
    if (text.find_first_of(",\"\r\n") == std::string::npos) return text;
    std::string quoted = "\"";
    for (const char letter : text)
        quoted += letter == '"' ? std::string("\"\"") : std::string(1, letter);
    return quoted + '"';
}

std::string number_field(double value) {
    return fmt::format("{:.3f}", value);
}

bool has_potential(const SurveyEntry& entry) {
    return entry.kind == EntryKind::reading || entry.kind == EntryKind::reference;
}

/// What the entry's point has come out as, where the entry is one of its readings.
const PointResult* result_of(const JudgedSurvey& judged, const SurveyEntry& entry) {
    for (const PointResult& result : judged.assessment.points)
        if (std::ranges::find(result.readings, entry.number, &SurveyEntry::number) !=
            result.readings.end())
            return &result;
    return nullptr;
}

std::string row_of(const JudgedSurvey& judged, const SurveyEntry& entry, bool counts) {
    const SurveyPoint* point = point_named(judged.kept.survey, entry.point);
    const PointResult* result = result_of(judged, entry);
    std::vector<std::string> fields{std::to_string(judged.kept.row.number),
                                    std::to_string(entry.number),
                                    to_text(entry.at),
                                    std::string(name_of(entry.kind)),
                                    text_field(entry.point),
                                    point == nullptr ? "" : std::string(name_of(point->role)),
                                    point == nullptr ? "" : point->metal,
                                    std::string(name_of(entry.state.shore)),
                                    std::string(name_of(entry.state.anodes)),
                                    counts ? "yes" : "no"};
    const auto add = [&](bool known, const auto& make) {
        fields.push_back(known ? make() : std::string());
    };
    const bool reading = entry.kind == EntryKind::reading;
    add(has_potential(entry), [&] { return number_field(entry.potential_mv); });
    add(has_potential(entry), [&] { return std::string(name_of(judged.kept.survey.cell_scale)); });
    add(entry.spread_mv.has_value(), [&] { return number_field(*entry.spread_mv); });
    add(reading, [&] {
        return std::string(!entry.spread_mv ? "typed in" : entry.settled ? "yes" : "no");
    });
    add(entry.ac_mv.has_value(), [&] { return number_field(*entry.ac_mv); });
    const bool judged_here = result != nullptr;
    add(judged_here, [&] { return number_field(result->judgement.potential_mv); });
    add(judged_here, [&] { return number_field(result->judgement.expanded_uncertainty_mv); });
    add(judged_here, [&] { return std::string(name_of(result->judgement.verdict)); });
    add(judged_here && result->off_hull_mv.has_value(),
        [&] { return number_field(*result->off_hull_mv); });
    add(judged_here, [&] { return std::string(name_of(result->bond)); });
    add(entry.about != 0, [&] { return std::to_string(entry.about); });
    fields.push_back(text_field(entry.text));
    return fmt::format("{}\r\n", fmt::join(fields, ","));
}

} // namespace

std::string survey_csv(const JudgedSurvey& judged) {
    std::set<std::int64_t> struck;
    for (const SurveyEntry& entry : judged.kept.survey.entries)
        if (entry.kind == EntryKind::strike) struck.insert(entry.about);
    std::string csv(header);
    for (const SurveyEntry& entry : judged.kept.survey.entries)
        csv += row_of(judged, entry, !struck.contains(entry.number));
    return csv;
}

} // namespace quaycell
