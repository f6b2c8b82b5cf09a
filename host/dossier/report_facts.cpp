#include "dossier/report_facts.h"

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

std::vector<NotedFact> notes_about(const std::vector<Note>& notes, const Readings& trace) {
    constexpr std::chrono::days margin{1}; // who hangs the cell notes it before the first reading
    std::vector<NotedFact> about;
    for (const Note& note : notes)
        if (trace.time.empty() ||
            (note.at >= trace.time.front() - margin && note.at <= trace.time.back() + margin))
            about.push_back({note.at, note.text, note.author, note.written_at});
    return about;
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
            {"Comparisons of the cell", fmt::format("{}", fmt::join(judged.remarks, "; "))}};
}

} // namespace quaycell
