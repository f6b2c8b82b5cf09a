#include "judging/anode_log.h"

#include "anode/place.h"
#include "judging/author.h"

#include <algorithm>
#include <array>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <optional>

namespace quaycell {

namespace {

constexpr std::array<std::string_view, 4> kinds{"fitted", "weighed", "estimated", "strike"};

std::optional<AnodeEntryKind> kind_named(std::string_view name) {
    const auto found = std::ranges::find(kinds, name);
    if (found == kinds.end()) return std::nullopt;
    return static_cast<AnodeEntryKind>(found - kinds.begin());
}

Error without_meaning(const AnodeEntryRow& row, std::string_view what, const std::string& where) {
    return {ErrorCode::damaged, fmt::format("entry {} on anodes {}", row.number, what), where,
            "A later version of this program may have written it."};
}

/// The boat's anode at that place; else one there of which no boat was known until now.
std::vector<LoggedAnode>::iterator find(std::vector<LoggedAnode>& anodes, std::string_view boat,
                                        std::string_view place) {
    const auto of = [&](std::string_view whose) {
        return std::ranges::find_if(anodes, [&](const LoggedAnode& each) {
            return each.boat == whose && each.anode.place == place;
        });
    };
    if (const auto own = of(boat); own != anodes.end()) return own;
    const auto unnamed = of("");
    if (unnamed != anodes.end()) unnamed->boat = boat;
    return unnamed;
}

/// Nothing where the entry is in order. `boat`: that it is of, may be empty.
std::optional<Error> take(std::vector<LoggedAnode>& anodes, const AnodeEntryRow& row,
                          std::string_view boat, AnodeEntryKind kind, const std::string& where) {
    auto known = find(anodes, boat, row.place);
    if (kind == AnodeEntryKind::fitted) {
        const auto alloy = alloy_named(row.alloy);
        if (!alloy) return without_meaning(row, "names an unknown alloy", where);
        // Of one that was replaced long ago, entered for the record.
        if (known != anodes.end() && row.at < known->anode.fitted) return std::nullopt;
        if (known == anodes.end())
            known = anodes.insert(anodes.end(), LoggedAnode{std::string(boat), {}});
        known->anode = FittedAnode{row.place, *alloy, row.mass_kg, row.at, {}};
        return std::nullopt;
    }
    if (known == anodes.end()) return without_meaning(row, "is of one that nobody fitted", where);
    // Written down after the anode was replaced, it may be about the one before.
    if (row.at < known->anode.fitted) return std::nullopt;
    auto& seen = known->anode.seen;
    const AnodeMassSeen mass{row.at, row.mass_kg, kind == AnodeEntryKind::weighed};
    seen.insert(std::ranges::upper_bound(seen, mass.at, {}, &AnodeMassSeen::at), mass);
    return std::nullopt;
}

} // namespace

std::string_view name_of(AnodeEntryKind kind) {
    return kinds.at(static_cast<std::size_t>(kind));
}

bool is_struck(std::span<const AnodeEntryRow> rows, std::int64_t number) {
    return std::ranges::any_of(rows, [number](const AnodeEntryRow& row) {
        return row.kind == name_of(AnodeEntryKind::strike) && row.about == number;
    });
}

std::string_view only_boat(std::span<const AnodeEntryRow> rows) {
    std::string_view only;
    for (const AnodeEntryRow& row : rows) {
        if (row.boat.empty() || row.boat == only) continue;
        if (!only.empty()) return {}; // a second one
        only = row.boat;
    }
    return only;
}

std::vector<AnodeEntryRow> entries_of_boat(std::span<const AnodeEntryRow> rows,
                                           std::string_view boat) {
    const std::string_view whose = boat.empty() ? only_boat(rows) : boat;
    std::vector<AnodeEntryRow> found;
    for (const AnodeEntryRow& row : rows)
        if (row.boat.empty() || row.boat == whose) found.push_back(row);
    return found;
}

Result<std::vector<LoggedAnode>> anodes_in(std::span<const AnodeEntryRow> rows,
                                           const std::string& where) {
    std::vector<LoggedAnode> anodes;
    for (std::size_t i = 0; i < rows.size(); ++i) {
        const AnodeEntryRow& row = rows[i];
        const auto kind = kind_named(row.kind);
        if (!kind) return without_meaning(row, "has no kind that is known", where);
        if (*kind == AnodeEntryKind::strike || is_struck(rows, row.number)) continue;
        const std::string_view boat =
            row.boat.empty() ? only_boat(rows.first(i)) : std::string_view(row.boat);
        if (auto error = take(anodes, row, boat, *kind, where)) return *error;
    }
    return anodes;
}

Result<LoggedAnode> anode_at(const std::vector<LoggedAnode>& anodes, std::string_view boat,
                             std::string_view place) {
    std::vector<LoggedAnode> found;
    std::vector<std::string_view> places;
    for (const LoggedAnode& each : anodes) {
        if (!boat.empty() && each.boat != boat) continue;
        places.push_back(each.anode.place);
        if (each.anode.place == place) found.push_back(each);
    }
    if (found.size() == 1) return found.front();
    if (found.empty())
        return Error{ErrorCode::not_found, fmt::format("no anode is known at \"{}\"", place), "",
                     places.empty()
                         ? std::string("Enter it first: quaycell anodes fitted")
                         : fmt::format("There are {}; another one is entered with quaycell anodes "
                                       "fitted",
                                       fmt::join(places, ", "))};
    return Error{ErrorCode::wrong_usage,
                 fmt::format("several boats have an anode at \"{}\"", place), "",
                 "Say which: --boat NAME"};
}

Result<std::vector<LoggedAnode>> of_another_alloy(std::span<const AnodeEntryRow> rows,
                                                  const std::string& where) {
    auto anodes = anodes_in(rows, where);
    if (!anodes) return anodes;
    const AnodeEntryRow& row = rows.back();
    const std::string_view boat = row.boat.empty() ? only_boat(rows) : std::string_view(row.boat);
    const auto own = std::ranges::find_if(*anodes, [&](const LoggedAnode& each) {
        return each.boat == boat && each.anode.place == row.place;
    });
    if (own == anodes->end() || own->anode.fitted != row.at) return std::vector<LoggedAnode>();
    const LoggedAnode fitted = *own;
    std::erase_if(*anodes, [&](const LoggedAnode& each) {
        return each.boat != boat || each.anode.alloy == fitted.anode.alloy ||
               !may_lie_in_hulls_water(each.anode.place);
    });
    if (!may_lie_in_hulls_water(row.place)) anodes->clear();
    return anodes;
}

Result<Instant> day_from(const std::string& typed, std::string_view option) {
    if (typed.empty()) return written_now();
    constexpr std::size_t of_a_day = std::string_view("2026-05-01").size();
    const auto day = parse_instant(typed.size() == of_a_day ? typed + "T12:00:00Z" : typed);
    if (day) return *day;
    return Error{ErrorCode::wrong_usage, fmt::format("\"{}\" is no day", typed),
                 std::string(option), "Write 2026-05-01, or a time as 2026-05-01T09:30:00Z"};
}

Result<Instant> day_to_come(const std::string& typed, std::string_view option) {
    const auto at = day_from(typed, option);
    if (!at || *at >= written_now() - std::chrono::days{1}) return at;
    return Error{ErrorCode::wrong_usage, fmt::format("{} is over", typed), std::string(option),
                 "Give the day of one that is planned"};
}

} // namespace quaycell
