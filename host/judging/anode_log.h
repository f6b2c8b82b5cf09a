// The log of the anodes between the archive, which holds words, and anode/, which knows their
// meaning.
#pragma once

#include "anode/wear.h"
#include "archive/anode_rows.h"

#include <span>
#include <string>
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

struct LoggedAnode {
    std::string boat; ///< may be empty
    FittedAnode anode;
};

/// Whether a strike is about the entry of that number.
bool is_struck(std::span<const AnodeEntryRow> rows, std::int64_t number);

/// The only boat that any of them names; empty where none is named, or several are.
std::string_view only_boat(std::span<const AnodeEntryRow> rows);

/// Those of one boat: that name it, or none. `boat` empty: of only_boat(rows).
std::vector<AnodeEntryRow> entries_of_boat(std::span<const AnodeEntryRow> rows,
                                           std::string_view boat);

/// The anodes that are fitted now, by boat and place, with what was seen of each in order of time.
/// An entry that names no boat is of the only one named by then, and an anode without one is of the
/// first that a later entry on its place is of: of one boat's entries each place has one anode.
/// Struck entries do not count. `where` names the rows in complaints. Error (damaged): a word
/// without a meaning, or an entry on an anode that nobody fitted.
Result<std::vector<LoggedAnode>> anodes_in(std::span<const AnodeEntryRow> rows,
                                           const std::string& where);

/// The one at that place; of the only boat where `boat` is empty. Errors: not_found, which lists
/// the places; wrong_usage, where several boats have one there.
Result<LoggedAnode> anode_at(const std::vector<LoggedAnode>& anodes, std::string_view boat,
                             std::string_view place);

/// What is fitted to the same boat in the same water, as far as the places tell, and is of another
/// alloy than the anode that the last of the rows fits; nothing where that was replaced since.
/// Error as of anodes_in().
Result<std::vector<LoggedAnode>> of_another_alloy(std::span<const AnodeEntryRow> rows,
                                                  const std::string& where);

/// "2026-05-01" (noon, UTC) or a time in RFC 3339; empty: now. Error: wrong_usage.
Result<Instant> day_from(const std::string& typed, std::string_view option);

/// The same, of a day that is not over: what is planned. Error: wrong_usage.
Result<Instant> day_to_come(const std::string& typed, std::string_view option);

} // namespace quaycell
