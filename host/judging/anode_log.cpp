#include "judging/anode_log.h"

#include "anode/place.h"
#include "judging/author.h"

#include <algorithm>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <optional>
#include <set>

namespace quaycell {

namespace {

Error without_meaning(const AnodeEntryRow& row, std::string_view what, const std::string& where) {
    return {ErrorCode::damaged, fmt::format("entry {} on anodes {}", row.number, what), where,
            "A later version of this program may have written it."};
}

/// Nothing where the entry is in order. `boat`: that it is of, may be empty.
std::optional<Error> take(std::vector<LoggedAnode>& anodes, const AnodeEntryRow& row,
                          std::string_view boat, AnodeEntryKind kind, const std::string& where) {
    const bool is_new = kind == AnodeEntryKind::fitted;
    if (!(row.mass_kg >= (is_new ? lightest_anode_kg : 0) && row.mass_kg <= heaviest_anode_kg))
        return without_meaning(row, "has a mass that no anode has", where);
    auto known = std::ranges::find_if(anodes, [&](const LoggedAnode& each) {
        return each.boat == boat && each.anode.place == row.place;
    });
    if (is_new) {
        const auto alloy = alloy_named(row.alloy);
        if (!alloy) return without_meaning(row, "names an unknown alloy", where);
        // Of one that was replaced long ago, entered for the record.
        if (known != anodes.end() && row.at < known->anode.fitted) return std::nullopt;
        if (known == anodes.end())
            known = anodes.insert(anodes.end(), LoggedAnode{std::string(boat), {}});
        FittedAnode& anode = known->anode;
        // What was seen since is of this one, though it was entered before.
        std::erase_if(anode.seen, [&](const AnodeMassSeen& each) { return each.at <= row.at; });
        anode = FittedAnode{row.place, *alloy, row.mass_kg, row.at, std::move(anode.seen)};
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

Result<std::vector<LoggedAnode>> anodes_in(std::span<const AnodeEntryRow> rows,
                                           const std::string& where) {
    const std::set<std::int64_t> struck = struck_entries(rows);
    const auto boats = boats_of(rows);
    std::vector<LoggedAnode> anodes;
    for (std::size_t i = 0; i < rows.size(); ++i) {
        const AnodeEntryRow& row = rows[i];
        const auto kind = anode_entry_kind_named(row.kind);
        if (!kind) return without_meaning(row, "has no kind that is known", where);
        if (*kind == AnodeEntryKind::strike || struck.contains(row.number)) continue;
        if (auto error = take(anodes, row, boats[i], *kind, where)) return *error;
    }
    return anodes;
}

Result<LoggedAnode> anode_at(const std::vector<LoggedAnode>& anodes, std::string_view place) {
    std::vector<LoggedAnode> found;
    std::vector<std::string_view> places;
    for (const LoggedAnode& each : anodes) {
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
    const std::string_view boat = boats_of(rows).back();
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
    return Error{ErrorCode::wrong_usage, fmt::format("\"{}\" is no day from 1970 on", typed),
                 std::string(option), "Write 2026-05-01, or a time as 2026-05-01T09:30:00Z"};
}

Result<Instant> day_to_come(const std::string& typed, std::string_view option) {
    const auto at = day_from(typed, option);
    if (!at || *at >= written_now() - std::chrono::days{1}) return at;
    return Error{ErrorCode::wrong_usage, fmt::format("{} is over", typed), std::string(option),
                 "Give the day of one that is planned"};
}

} // namespace quaycell
