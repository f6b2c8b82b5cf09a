#include "judging/judged_survey.h"

#include "diagnosis/practice.h"
#include "judging/json_text.h"

#include <algorithm>
#include <boost/json.hpp>
#include <fmt/format.h>

namespace quaycell {

namespace json = boost::json;

namespace {

std::optional<double> highest_ac_mv(const PointResult& result) {
    std::optional<double> highest_mv;
    for (const SurveyEntry* reading : result.readings)
        if (reading->ac_mv) highest_mv = std::max(highest_mv.value_or(0), *reading->ac_mv);
    return highest_mv;
}

/// What keeps a reading from being taken as it stands, before what it says.
std::string warning_text(const PointResult& result) {
    std::string text;
    if (const auto ac_mv = highest_ac_mv(result); ac_mv && *ac_mv > practice("ac-stop"))
        text += fmt::format("AC TOO HIGH: {:.0f} mV rms, ", *ac_mv);
    if (std::ranges::any_of(result.readings,
                            [](const SurveyEntry* reading) { return !reading->settled; }))
        text += "NOT SETTLED, ";
    return text;
}

std::string point_line(const PointResult& result) {
    std::string line =
        fmt::format("  {:<24} {:7.0f} mV  {}{}", result.point->name, result.potential_mv,
                    warning_text(result), name_of(result.judgement.verdict));
    if (result.off_hull_mv)
        line += fmt::format(", {:+.0f} mV from the hull{}", *result.off_hull_mv,
                            result.bond == Bond::differs ? ": DIFFERS" : "");
    line += result.spread_mv ? fmt::format(", spread {:.1f} mV", *result.spread_mv)
                             : ", typed in: spread not known";
    if (!highest_ac_mv(result)) line += ", AC not measured";
    if (result.readings.size() > 1) line += fmt::format(", {} readings", result.readings.size());
    return line + '\n';
}

std::string finding_text(const SurveyFinding& finding) {
    std::string text =
        fmt::format("{}{}{}\n", finding.point, finding.point.empty() ? "" : ": ", finding.what);
    if (!finding.test.empty()) text += fmt::format("    {}\n", finding.test);
    if (!finding.caution.empty()) text += fmt::format("    CAUTION: {}\n", finding.caution);
    if (!finding.source.empty())
        text += fmt::format("    ({}{}{})\n", finding.source, finding.status.empty() ? "" : "; ",
                            finding.status);
    return text;
}

json::object point_json(const PointResult& result) {
    json::array numbers;
    bool settled = true;
    bool typed_in = true;
    for (const SurveyEntry* reading : result.readings) {
        numbers.push_back(reading->number);
        settled = settled && reading->settled;
        typed_in = typed_in && !reading->spread_mv;
    }
    const Judgement& judgement = result.judgement;
    json::object point{
        {"point", result.point->name},
        {"role", name_of(result.point->role)},
        {"metal", result.point->metal},
        {"shore", name_of(result.state.shore)},
        {"anodes", name_of(result.state.anodes)},
        {"potential_mv", rounded(result.potential_mv, 1)},
        {"standard_mv", rounded(judgement.potential_mv, 1)},
        {"expanded_uncertainty_mv", rounded(judgement.expanded_uncertainty_mv, 1)},
        {"spread_mv", nullptr},
        {"settled", nullptr},
        {"typed_in", typed_in},
        {"entries", std::move(numbers)},
        {"verdict", name_of(judgement.verdict)},
        {"off_hull_mv", nullptr},
        {"bond", name_of(result.bond)},
        {"reasons", json::array(judgement.reasons.begin(), judgement.reasons.end())}};
    if (!typed_in)
        point["settled"] = settled; // else nobody but who typed it has seen it stand still
    if (result.spread_mv) point["spread_mv"] = rounded(*result.spread_mv, 1);
    if (result.off_hull_mv) point["off_hull_mv"] = rounded(*result.off_hull_mv, 1);
    if (!judgement.rows.empty()) {
        const Criterion& criterion = judgement.rows.front().criterion;
        point["criterion"] = {{"id", criterion.id},
                              {"source", criterion.source},
                              {"edition", criterion.edition},
                              {"status", criterion.status}};
    }
    return point;
}

json::array findings_json(const JudgedSurvey& judged) {
    json::array findings;
    for (const SurveyFinding& finding : judged.findings)
        findings.push_back({{"id", finding.id},
                            {"point", finding.point},
                            {"what", finding.what},
                            {"test", finding.test},
                            {"caution", finding.caution},
                            {"source", finding.source},
                            {"status", finding.status}});
    return findings;
}

} // namespace

std::string point_text(const JudgedSurvey& judged, std::string_view point, SurveyState state) {
    std::string text;
    for (const PointResult& result : judged.assessment.points)
        if (result.point->name == point && result.state == state) text += point_line(result);
    for (const SurveyFinding& finding : judged.findings)
        if (finding.point == point) text += finding_text(finding);
    return text;
}

std::string survey_text(const JudgedSurvey& judged) {
    const SurveyRow& row = judged.kept.row;
    std::string text = fmt::format(
        "survey {} of {}, begun {} by {}\nread with {}, cell {} on {}, {}\nsettled: {}\n",
        row.number, row.boat.empty() ? "a boat without a name" : row.boat, to_text(row.begun_at),
        row.author, row.instrument, row.cell_serial.empty() ? "without a number" : row.cell_serial,
        row.cell_scale,
        judged.kept.survey.cell_travel == CellTravel::one_place ? "left in one place"
                                                                : "moved along",
        row.criterion);
    std::optional<SurveyState> pass;
    for (const PointResult& result : judged.assessment.points) {
        if (pass != result.state) text += state_words(result.state) + ":\n";
        pass = result.state;
        text += point_line(result);
    }
    for (const AnodeComparison& each : judged.assessment.anodes)
        text += fmt::format("{}: the anodes shift it by {:.0f} mV\n", each.point->name,
                            each.shift_mv());
    for (const ReferenceComparison& each : judged.assessment.references)
        text += fmt::format("{}: {:.1f} mV, {}: {:.1f} mV\n", each.point->name, each.reading_mv,
                            row.reference_instrument.empty() ? "reference instrument"
                                                             : row.reference_instrument,
                            each.reference_mv);
    for (const std::string& remark : judged.remarks)
        text += remark + '\n';
    for (const SurveyFinding& finding : judged.findings)
        text += finding_text(finding);
    return text;
}

json::object survey_json(const JudgedSurvey& judged) {
    const SurveyRow& row = judged.kept.row;
    json::array points;
    for (const PointResult& result : judged.assessment.points)
        points.push_back(point_json(result));
    json::array shore;
    for (const ShoreComparison& each : judged.assessment.shore)
        shore.push_back({{"point", each.point->name},
                         {"unplugged_mv", rounded(each.unplugged_mv, 1)},
                         {"plugged_mv", rounded(each.plugged_mv, 1)}});
    json::array anodes;
    for (const AnodeComparison& each : judged.assessment.anodes)
        anodes.push_back({{"point", each.point->name},
                          {"connected_mv", rounded(each.connected_mv, 1)},
                          {"disconnected_mv", rounded(each.disconnected_mv, 1)},
                          {"shift_mv", rounded(each.shift_mv(), 1)},
                          {"enough", each.enough}});
    json::array references;
    for (const ReferenceComparison& each : judged.assessment.references)
        references.push_back({{"point", each.point->name},
                              {"reading_mv", rounded(each.reading_mv, 1)},
                              {"reference_mv", rounded(each.reference_mv, 1)}});
    json::object document{{"survey", row.number},
                          {"boat", row.boat},
                          {"begun", to_text(row.begun_at)},
                          {"author", row.author},
                          {"instrument", row.instrument},
                          {"input_resistance_mohm", nullptr},
                          {"reference_instrument", row.reference_instrument},
                          {"cell", row.cell_serial},
                          {"cell_scale", row.cell_scale},
                          {"cell_travel", row.cell_travel},
                          {"criterion", row.criterion},
                          {"finished", is_finished(judged.kept.survey)},
                          {"points", std::move(points)},
                          {"dock_earth_mv", nullptr},
                          {"shore", std::move(shore)},
                          {"anodes", std::move(anodes)},
                          {"references", std::move(references)},
                          {"findings", findings_json(judged)},
                          {"remarks", json::array(judged.remarks.begin(), judged.remarks.end())},
                          {"assumed", json::array(judged.boat.water.assumed.begin(),
                                                  judged.boat.water.assumed.end())}};
    if (judged.kept.survey.input_resistance_mohm)
        document["input_resistance_mohm"] = *judged.kept.survey.input_resistance_mohm;
    if (judged.assessment.dock_earth_mv)
        document["dock_earth_mv"] = rounded(*judged.assessment.dock_earth_mv, 1);
    return document;
}

} // namespace quaycell
