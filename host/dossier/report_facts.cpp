#include "dossier/report_facts.h"

#include "chart/told.h"
#include "chart/trace_parts.h"
#include "diagnosis/practice.h"
#include "judging/water_json.h"

#include <algorithm>
#include <fmt/format.h>
#include <fmt/ranges.h>

namespace quaycell {

std::vector<Entry> boat_facts(const Boat& boat) {
    std::vector<std::string> anodes;
    for (const AnodeFacts& anode : boat.anodes) {
        std::string text = fmt::format("{}, {}", anode.place, anode.alloy);
        if (anode.mass_kg) text += fmt::format(", {:g} kg", *anode.mass_kg);
        if (anode.fitted) text += ", fitted " + anode.fitted->text;
        anodes.push_back(text);
    }
    return {{"Hull", std::string(name_of(boat.hull))},
            {"Bonded metals", fmt::format("{}", fmt::join(boat.metals, ", "))},
            {"Anodes", fmt::format("{}", fmt::join(anodes, "; "))},
            {"Berth", boat.berth}};
}

std::vector<Entry> water_facts(const Water& water) {
    return {{"Water", to_text(water)},
            {"Assumed, because nobody said",
             water.assumed.empty() ? std::string("nothing")
                                   : fmt::format("{}", fmt::join(water.assumed, "; "))}};
}

std::vector<Entry> cell_facts(const Boat& boat) {
    return {{"Cell", boat.cell_serial},
            {"Scale of the cell",
             std::string(name_of(boat.cell_scale)) + (boat.cell_scale_assumed ? " (assumed)" : "")},
            {"Shown on", "agcl/seawater"},
            {"Last checked", boat.cell_last_check}};
}

std::string afloat_since(const Boat& boat) {
    std::string text;
    for (const Refit& refit : boat.refits)
        text += fmt::format("{}{} {}", text.empty() ? "" : "; ", refit.what, refit.when.text);
    return text.empty() ? text : text + " (vessel file)";
}

std::vector<NotedFact> notes_about(const std::vector<Note>& notes, Instant first, Instant last) {
    constexpr std::chrono::days margin{1}; // who hangs the cell notes it before the first reading
    std::vector<NotedFact> about;
    for (const Note& note : notes)
        if (note.at >= first - margin && note.at <= last + margin)
            about.push_back({note.at, note.text, note.author, note.written_at});
    return about;
}

std::vector<std::string> told_of_both(const std::vector<std::string>& of_trace,
                                      const std::vector<std::string>& of_survey) {
    std::vector<std::string> told;
    const auto has = [](const std::vector<std::string>& texts, const std::string& text) {
        return std::ranges::find(texts, text) != texts.end();
    };
    const auto add_none = [&](const std::vector<std::string>& texts, const char* whose) {
        if (texts.empty())
            told.push_back(fmt::format(
                "{}: no comparison of the cell with another cell or a zinc is on record", whose));
    };
    if (of_trace.empty() && of_survey.empty()) return told;
    for (const std::string& text : of_trace)
        told.push_back((has(of_survey, text) ? "trace and survey: " : "trace: ") + text);
    add_none(of_trace, "trace");
    for (const std::string& text : of_survey)
        if (!has(of_trace, text)) told.push_back("survey: " + text);
    add_none(of_survey, "survey");
    return told;
}

std::vector<Entry> survey_cell_facts(const JudgedSurvey& judged) {
    const SurveyRow& row = judged.kept.row;
    const bool is_that_of_the_boat =
        !row.cell_serial.empty() && row.cell_serial == judged.boat.cell_serial;
    return {{"Cell", row.cell_serial},
            {"Scale of the cell", row.cell_scale},
            {"Shown on", "agcl/seawater"},
            {"Last checked", is_that_of_the_boat ? judged.boat.cell_last_check : ""}};
}

std::vector<std::string> survey_cautions(const std::vector<SurveyFinding>& findings) {
    std::vector<std::string> cautions;
    for (const SurveyFinding& finding : findings)
        if ((finding.id == "ac" || finding.id == "open-earth") &&
            std::ranges::find(cautions, finding.caution) == cautions.end())
            cautions.push_back(finding.id == "ac" ? fmt::format("{}: {} {}", finding.point,
                                                                finding.what, finding.caution)
                                                  : std::string(finding.caution));
    return cautions;
}

std::vector<Entry> survey_facts(const JudgedSurvey& judged, const Zone& zone) {
    const SurveyRow& row = judged.kept.row;
    const bool in_place = judged.kept.survey.cell_travel == CellTravel::one_place;
    const auto rule = std::ranges::find(practice_rules(), in_place ? "bond-in-place" : "bond-moved",
                                        &PracticeRule::id);
    return {{"Survey", fmt::format("{}, begun {}, by {}", row.number, to_words(row.begun_at, zone),
                                   row.author)},
            {"Read with", row.instrument},
            {"Its input resistance", row.input_resistance_mohm > 0
                                         ? fmt::format("{:g} Mohm", row.input_resistance_mohm)
                                         : std::string()},
            {"Reference instrument", row.reference_instrument},
            {"Cell", fmt::format("{}, on {}, {}",
                                 row.cell_serial.empty() ? "without a number" : row.cell_serial,
                                 row.cell_scale, in_place ? "left in one place" : "moved along")},
            {"Bonded metals agree within",
             fmt::format("{:g} mV ({}; {})", rule->value, rule->source, rule->status)},
            {"A reading counts as settled with", row.criterion},
            {"Uncertainty of a reading",
             fmt::format("± {} mV (k = 2)", told_uncertainty_mv(judged.budget.expanded_mv()))},
            {"Comparisons of the cell", fmt::format("{}", fmt::join(judged.remarks, "; "))}};
}

} // namespace quaycell
