// What the rows of the anodes' log are: entries of several kinds, some struck, each of a boat.
#pragma once

#include "archive/anode_rows.h"

#include <optional>
#include <set>
#include <span>
#include <string_view>
#include <vector>

namespace quaycell {

enum class AnodeEntryKind {
    fitted,    ///< a new anode of `mass_kg`; the one before at that place is gone
    weighed,   ///< what is left of it
    estimated, ///< likewise, judged by eye
    strike,    ///< entry `about` does not count; `text` says why
};
std::string_view name_of(AnodeEntryKind kind); ///< "weighed"
std::optional<AnodeEntryKind> anode_entry_kind_named(std::string_view name);

/// The numbers of the entries that do not count.
std::set<std::int64_t> struck_entries(std::span<const AnodeEntryRow> rows);

/// Whose each of all the rows of a log is; empty where nothing tells. An entry that names no boat
/// is of the only one named by then, else of the first that a later entry on its place is of. A
/// strike is of whose the struck entry is.
std::vector<std::string_view> boats_of(std::span<const AnodeEntryRow> rows);

/// The boats that the rows name, struck ones aside; and the only one, empty where there is none, or
/// several are.
std::vector<std::string_view> named_boats(std::span<const AnodeEntryRow> rows);
std::string_view only_boat(std::span<const AnodeEntryRow> rows);

/// Of all the rows of a log those of one boat, and those of nobody, which may be hers. `boat`
/// empty: of only_boat(rows).
std::vector<AnodeEntryRow> entries_of_boat(std::span<const AnodeEntryRow> rows,
                                           std::string_view boat);

} // namespace quaycell
