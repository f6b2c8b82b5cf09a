#include "dossier/anode_comparison.h"

#include "judging/anode_entries.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace quaycell {

namespace {

/// "entry 3: weighed, 2026-06-02T12:00:00Z, rudder, 0.61 kg, by Ann on 2026-06-02T17:20:00Z"
std::string shown(const AnodeEntryRow& row) {
    std::string text = fmt::format("entry {}: {}, {}, {}{}", row.number, row.kind, to_text(row.at),
                                   row.boat, row.boat.empty() ? row.place : ", " + row.place);
    if (row.about != 0) text += fmt::format(", of entry {}", row.about);
    if (!row.alloy.empty()) text += ", " + row.alloy;
    if (row.about == 0) text += fmt::format(", {:g} kg", row.mass_kg);
    if (!row.text.empty()) text += ", " + row.text;
    return text + fmt::format(", by {} on {}", row.author, to_text(row.written_at));
}

/// Masses are kept to the milligram.
bool are_alike(const AnodeEntryRow& one, const AnodeEntryRow& other) {
    constexpr double half_a_milligram_kg = 0.5e-6;
    return one.number == other.number && one.at == other.at && one.kind == other.kind &&
           one.boat == other.boat && one.place == other.place && one.alloy == other.alloy &&
           std::abs(one.mass_kg - other.mass_kg) < half_a_milligram_kg &&
           one.about == other.about && one.text == other.text && one.author == other.author &&
           one.written_at == other.written_at;
}

} // namespace

AnodeLogComparison compare_anode_logs(const AnodeDocument& stated,
                                      std::span<const AnodeEntryRow> held) {
    std::int64_t last = 0;
    for (const AnodeEntryRow& row : stated.entries) {
        if (row.number <= last)
            return {fmt::format("{} stands here twice, or in another order", shown(row)), ""};
        last = row.number;
        const auto other = std::ranges::find(held, row.number, &AnodeEntryRow::number);
        if (other == held.end()) return {shown(row) + " is not in the archive", ""};
        if (!are_alike(row, *other))
            return {fmt::format("{} here, {} in the archive", shown(row), shown(*other)), ""};
    }
    const auto holds = [](const std::vector<AnodeEntryRow>& rows, const AnodeEntryRow& row) {
        return std::ranges::find(rows, row.number, &AnodeEntryRow::number) != rows.end();
    };
    // Whose an entry without a boat's name is, a later one may have told.
    const auto until_last = std::ranges::upper_bound(held, last, {}, &AnodeEntryRow::number);
    const auto known_then = entries_of_boat({held.begin(), until_last}, stated.boat);
    std::string newer;
    std::size_t count = 0;
    for (const AnodeEntryRow& row : entries_of_boat(held, stated.boat)) {
        if (holds(stated.entries, row)) continue;
        if (row.number < last && holds(known_then, row))
            return {"the report leaves out " + shown(row), ""};
        if (row.number > last && count++ == 0) newer = shown(row);
    }
    std::string words = fmt::format("the archive holds all {}", stated.entries.size());
    if (count != 0)
        words += fmt::format(", and {} newer {}, the first {}", count, count == 1 ? "one" : "ones",
                             newer);
    return {"", words};
}

WithoutAnodeLog compare_without_anode_log(std::string_view boat,
                                          std::span<const AnodeEntryRow> held) {
    if (boat.empty())
        return {Agreement::not_compared,
                fmt::format("none goes with the report, which does not name its boat; the archive "
                            "holds {} entr{} on anodes, of whatever boat",
                            held.size(), held.size() == 1 ? "y" : "ies")};
    const auto hers = entries_of_boat(held, boat);
    if (hers.empty())
        return {Agreement::agrees,
                fmt::format("none goes with the report, and the archive holds none of {}", boat)};
    return {Agreement::not_compared,
            fmt::format("none goes with the report; the archive holds {} entr{} on anodes that may "
                        "be of {}, the first {}: written since, or taken out",
                        hers.size(), hers.size() == 1 ? "y" : "ies", boat, shown(hers.front()))};
}

} // namespace quaycell
