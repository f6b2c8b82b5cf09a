#include "judging/anode_entries.h"

#include <algorithm>
#include <array>
#include <map>
#include <utility>

namespace quaycell {

namespace {

constexpr std::array<std::string_view, 4> kinds{"fitted", "weighed", "estimated", "strike"};

bool is_strike(const AnodeEntryRow& row) {
    return row.kind == name_of(AnodeEntryKind::strike);
}

} // namespace

std::string_view name_of(AnodeEntryKind kind) {
    return kinds.at(static_cast<std::size_t>(kind));
}

std::optional<AnodeEntryKind> anode_entry_kind_named(std::string_view name) {
    const auto found = std::ranges::find(kinds, name);
    if (found == kinds.end()) return std::nullopt;
    return static_cast<AnodeEntryKind>(found - kinds.begin());
}

std::set<std::int64_t> struck_entries(std::span<const AnodeEntryRow> rows) {
    std::set<std::int64_t> struck;
    for (const AnodeEntryRow& row : rows)
        if (is_strike(row)) struck.insert(row.about);
    return struck;
}

std::vector<std::string_view> boats_of(std::span<const AnodeEntryRow> rows) {
    const std::set<std::int64_t> struck = struck_entries(rows);
    std::vector<std::string_view> boats;
    std::set<std::string_view> named;
    std::set<std::pair<std::string_view, std::string_view>> known;  // boat and place of an anode
    std::map<std::string_view, std::vector<std::size_t>> of_nobody; // by their place
    std::map<std::int64_t, std::size_t> numbered;
    for (const AnodeEntryRow& row : rows) {
        const std::size_t i = boats.size();
        numbered[row.number] = i;
        const bool is_hers = row.boat.empty() && named.size() == 1;
        const std::string_view boat = is_hers ? *named.begin() : std::string_view(row.boat);
        boats.push_back(boat);
        if (is_strike(row)) continue;
        if (boat.empty()) of_nobody[row.place].push_back(i);
        if (boat.empty() || struck.contains(row.number)) continue;
        named.insert(boat);
        if (!known.emplace(boat, row.place).second) continue;
        for (const std::size_t each : of_nobody[row.place])
            boats[each] = boat;
        of_nobody.erase(row.place);
    }
    for (std::size_t i = 0; i < rows.size(); ++i)
        if (const auto about = numbered.find(rows[i].about);
            is_strike(rows[i]) && about != numbered.end())
            boats[i] = boats[about->second];
    return boats;
}

std::vector<std::string_view> named_boats(std::span<const AnodeEntryRow> rows) {
    const std::set<std::int64_t> struck = struck_entries(rows);
    std::set<std::string_view> named;
    for (const AnodeEntryRow& row : rows)
        if (!row.boat.empty() && !is_strike(row) && !struck.contains(row.number))
            named.insert(row.boat);
    return {named.begin(), named.end()};
}

std::string_view only_boat(std::span<const AnodeEntryRow> rows) {
    const auto named = named_boats(rows);
    return named.size() == 1 ? named.front() : std::string_view();
}

std::vector<AnodeEntryRow> entries_of_boat(std::span<const AnodeEntryRow> rows,
                                           std::string_view boat) {
    const std::string_view whose = boat.empty() ? only_boat(rows) : boat;
    const auto boats = boats_of(rows);
    std::vector<AnodeEntryRow> found;
    for (std::size_t i = 0; i < rows.size(); ++i)
        if (boats[i].empty() || boats[i] == whose) found.push_back(rows[i]);
    return found;
}

} // namespace quaycell
