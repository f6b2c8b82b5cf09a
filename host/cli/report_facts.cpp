#include "cli/report_facts.h"

#include "cli/water_json.h"

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

} // namespace quaycell
