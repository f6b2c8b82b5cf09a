#include "report/survey_part.h"

#include "chart/axis.h"
#include "chart/survey_chart.h"
#include "report/report_parts.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace quaycell {

namespace {

/// What was read or is published, to the millivolt.
std::string as_read(double mv) {
    return std::isfinite(mv) ? number_text(mv, 0) + " mV" : "not known";
}

std::string state_text(SurveyState state) {
    return fmt::format("{}, anodes {}", name_of(state.shore), name_of(state.anodes));
}

std::string off_hull_text(const PointResult& result) {
    if (!result.off_hull_mv) return "";
    return fmt::format("{:+.0f}{}", *result.off_hull_mv,
                       result.bond == Bond::differs ? " differs" : "");
}

/// Of each point its readings in one state of the boat.
Table points_table(const SurveyAssessment& assessment) {
    Table table{"The points, pass by pass",
                {{"Point", 0.2},
                 {"Metal", 0.16},
                 {"Shore power, anodes", 0.2},
                 {"Against the cell", 0.1, Anchor::end},
                 {"On agcl/seawater", 0.11, Anchor::end},
                 {"From the hull", 0.1, Anchor::end},
                 {"Verdict", 0.13}},
                {}};
    for (const PointResult& result : assessment.points) {
        const bool settled = std::ranges::all_of(
            result.readings, [](const SurveyEntry* reading) { return reading->settled; });
        table.rows.push_back(
            {result.point->name + (settled ? "" : " (not settled)"),
             result.point->metal.empty() ? std::string(name_of(result.point->role))
                                         : result.point->metal,
             state_text(result.state), as_read(result.potential_mv),
             millivolts(result.judgement.potential_mv, result.judgement.expanded_uncertainty_mv),
             off_hull_text(result), std::string(name_of(result.judgement.verdict))});
    }
    return table;
}

/// The limits that verdicts of metals went by, each once.
Table limits_table(const SurveyAssessment& assessment) {
    Table table{"What the points were judged by",
                {{"Subject", 0.22}, {"Limits", 0.24}, {"Source", 0.54}},
                {}};
    for (const PointResult& result : assessment.points) {
        if (result.judgement.rows.empty()) continue;
        const Criterion& c = result.judgement.rows.front().criterion;
        const auto end = [](std::optional<double> mv, const char* none) {
            return mv ? as_read(*mv) : std::string(none);
        };
        const std::vector<std::string> row{
            c.subject,
            end(c.protected_from_mv, "no upper limit") + " to " +
                end(c.over_at_mv, "no lower limit"),
            fmt::format("{} {} ({})", c.source, c.edition, c.status)};
        if (std::ranges::find(table.rows, row) == table.rows.end()) table.rows.push_back(row);
    }
    return table;
}

/// What does not count, and why; what was noted.
Table remarks_table(const Survey& survey) {
    Table table{
        "Left out, struck and noted",
        {{"Entry", 0.08}, {"Point", 0.22}, {"What", 0.15}, {"In the words of the walk", 0.55}},
        {}};
    for (const SurveyEntry& entry : survey.entries) {
        if (entry.kind == EntryKind::reading || entry.kind == EntryKind::finish ||
            entry.kind == EntryKind::reference)
            continue;
        const std::string what = entry.kind == EntryKind::strike
                                     ? fmt::format("entry {} struck", entry.about)
                                     : std::string(name_of(entry.kind));
        table.rows.push_back({std::to_string(entry.number), entry.point, what, entry.text});
    }
    return table;
}

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

} // namespace

std::optional<Scene> survey_chart(const SurveyAssessment& assessment, double width_mm,
                                  const TextWidth& text_width) {
    std::vector<SurveyedPoint> placed;
    std::optional<SurveyState> pass;
    for (const PointResult& result : assessment.points) {
        if (!result.point->place || result.state.anodes != Anodes::connected) continue;
        if (!pass) pass = result.state;
        if (result.state != *pass) continue;
        placed.push_back({result.point->name, result.point->place->forward,
                          result.point->place->side, result.judgement.potential_mv,
                          result.judgement.verdict});
    }
    if (placed.empty()) return std::nullopt;
    return draw_survey("Survey, shore power " + std::string(name_of(pass->shore)), placed, width_mm,
                       text_width);
}

Section survey_section(const ReportedSurvey& reported) {
    Section section{"Survey from fitting to fitting", {}};
    Facts facts{reported.facts};
    add_comparisons(reported.assessment, facts);
    section.blocks.emplace_back(std::move(facts));
    if (reported.chart)
        section.blocks.emplace_back(
            Figure{*reported.chart, "The points on agcl/seawater, each with its verdict."});
    section.blocks.emplace_back(points_table(reported.assessment));
    for (Table table : {limits_table(reported.assessment), remarks_table(reported.survey)})
        if (!table.rows.empty()) section.blocks.emplace_back(std::move(table));
    for (const SurveyFinding& finding : reported.findings) {
        section.blocks.emplace_back(Paragraph{
            fmt::format("{}{}{}{}{} ({}{}{})", finding.point, finding.point.empty() ? "" : ": ",
                        finding.what, finding.test.empty() ? "" : " ", finding.test, finding.source,
                        finding.status.empty() ? "" : "; ", finding.status),
            Voice::opinion});
        if (!finding.caution.empty())
            section.blocks.emplace_back(Paragraph{std::string(finding.caution), Voice::caution});
    }
    return section;
}

} // namespace quaycell
