#include "report/survey_part.h"

#include "chart/survey_chart.h"
#include "report/report_parts.h"
#include "report/survey_tables.h"

#include <algorithm>
#include <fmt/format.h>
#include <map>

namespace quaycell {

namespace {

void add_comparisons(const SurveyAssessment& assessment, Facts& shown) {
    for (const ShoreComparison& each : assessment.shore)
        shown.entries.push_back({each.point->name + ", unplugged and plugged in",
                                 as_read(each.unplugged_mv) + " and " + as_read(each.plugged_mv)});
    if (assessment.dock_earth_mv)
        shown.entries.push_back({"The dock's earth", as_read(*assessment.dock_earth_mv)});
    for (const AnodeComparison& each : assessment.anodes)
        shown.entries.push_back(
            {each.point->name + ", shift by the anodes",
             as_read(each.shift_mv()) + (each.enough ? "" : ": less than the rule asks")});
    for (const ReferenceComparison& each : assessment.references)
        shown.entries.push_back({each.point->name + ", beside the reference instrument",
                                 as_read(each.reading_mv) + " and " + as_read(each.reference_mv)});
}

/// "6 protected, 1 under-protected", of the points in all their states.
std::string verdicts_text(const SurveyAssessment& assessment) {
    std::map<Verdict, std::size_t> counted;
    for (const PointResult& result : assessment.points)
        ++counted[result.judgement.verdict];
    std::string text;
    for (const auto& [verdict, count] : counted)
        text += fmt::format("{}{} {}", text.empty() ? "" : ", ", count, name_of(verdict));
    return text;
}

std::string period_text(const Survey& survey, const Zone& zone) {
    std::string first, last;
    for (const SurveyEntry& entry : survey.entries) {
        if (entry.kind != EntryKind::reading) continue;
        last = to_words(entry.at, zone);
        if (first.empty()) first = last;
    }
    return first == last ? first : fmt::format("{} to {}", first, last);
}

/// The hull in each state of the boat, each in words of its own.
void add_hull(const SurveyAssessment& assessment, Facts& shown) {
    for (const PointResult& result : assessment.points)
        if (result.point->role == PointRole::hull)
            shown.entries.push_back(
                {fmt::format("{}, {}", result.point->name, state_text(result.state)),
                 fmt::format("{}, {} on agcl/seawater", name_of(result.judgement.verdict),
                             millivolts(result.judgement.potential_mv,
                                        result.judgement.expanded_uncertainty_mv))});
}

bool is_drawn(const PointResult& result) {
    return result.point->place && result.state.anodes == Anodes::connected;
}

/// "Not drawn: a, b (nobody said where they are); c (not read in this state)."; empty: all are.
std::string not_drawn_text(const ReportedSurvey& reported, SurveyState state) {
    std::string without_place, unread;
    for (const SurveyPoint& point : reported.survey.points) {
        if (point.role == PointRole::dock_earth) continue;
        const bool read =
            std::ranges::any_of(reported.assessment.points, [&](const PointResult& result) {
                return result.point == &point && result.state == state;
            });
        if (point.place && read) continue;
        std::string& names = point.place ? unread : without_place;
        names += names.empty() ? point.name : ", " + point.name;
    }
    if (!without_place.empty()) without_place += " (nobody said where they are)";
    if (!unread.empty()) unread += " (not read in this state)";
    if (without_place.empty() && unread.empty()) return "";
    const char* const between = without_place.empty() || unread.empty() ? "" : "; ";
    return fmt::format(" Not drawn: {}{}{}.", without_place, between, unread);
}

} // namespace

std::vector<DrawnState> survey_charts(const SurveyAssessment& assessment, double width_mm,
                                      const TextWidth& text_width) {
    std::vector<SurveyState> states;
    for (const PointResult& result : assessment.points)
        if (is_drawn(result) && std::ranges::find(states, result.state) == states.end())
            states.push_back(result.state);
    std::vector<DrawnState> drawn;
    for (const SurveyState state : states) {
        std::vector<SurveyedPoint> placed;
        for (const PointResult& result : assessment.points)
            if (is_drawn(result) && result.state == state)
                placed.push_back({result.point->name, result.point->place->forward,
                                  result.point->place->side, result.judgement.potential_mv,
                                  result.judgement.verdict, result.bond == Bond::differs});
        drawn.push_back(
            {state, draw_survey("Survey, shore power " + std::string(name_of(state.shore)), placed,
                                width_mm, text_width)});
    }
    return drawn;
}

Section survey_section(const ReportedSurvey& reported, const Zone& zone) {
    Section section{"Survey from fitting to fitting", {}};
    Facts facts{reported.facts};
    add_comparisons(reported.assessment, facts);
    section.blocks.emplace_back(std::move(facts));
    for (const DrawnState& each : reported.charts)
        section.blocks.emplace_back(
            Figure{each.chart, "The points on agcl/seawater, each with its verdict. A ring stands "
                               "round what differs from the hull by more than the tolerance." +
                                   not_drawn_text(reported, each.state)});
    if (reported.charts.empty() && !reported.assessment.points.empty())
        section.blocks.emplace_back(
            Paragraph{"Not drawn: no point was read, with the anodes connected, of which anybody "
                      "said where it is on the hull."});
    for (Table table : {points_table(reported.assessment), readings_table(reported.survey, zone),
                        remarks_table(reported.survey, zone)})
        if (!table.rows.empty()) section.blocks.emplace_back(std::move(table));
    return section;
}

void add_survey_in_short(const ReportedSurvey& reported, const Zone& zone, Section& section) {
    const Survey& survey = reported.survey;
    Facts shown{{reported.facts.front()}};
    shown.entries.push_back({"Readings", period_text(survey, zone)});
    add_hull(reported.assessment, shown);
    const auto skipped = std::ranges::count(survey.entries, EntryKind::skip, &SurveyEntry::kind);
    shown.entries.push_back(
        {"Points", fmt::format("{} in all, {} read in one state of the boat or more, {} skipped "
                               "at times",
                               survey.points.size(),
                               std::ranges::count_if(survey.points,
                                                     [&](const SurveyPoint& point) {
                                                         return std::ranges::any_of(
                                                             reported.assessment.points,
                                                             [&](const PointResult& result) {
                                                                 return result.point == &point;
                                                             });
                                                     }),
                               skipped)});
    shown.entries.push_back({"Their verdicts", verdicts_text(reported.assessment)});
    const auto differing =
        std::ranges::count(reported.assessment.points, Bond::differs, &PointResult::bond);
    shown.entries.push_back({"Differ from the hull", differing == 0
                                                         ? std::string("none")
                                                         : fmt::format("{} of them", differing)});
    section.blocks.emplace_back(std::move(shown));
    section.blocks.emplace_back(Paragraph{
        fmt::format("Times are in {}. Files that go with this report are in UTC.", zone.name())});
}

} // namespace quaycell
