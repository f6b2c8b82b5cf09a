// The log of the anodes between the archive, which holds words, and anode/, which knows their
// meaning.
#pragma once

#include "anode/wear.h"
#include "judging/anode_entries.h"

#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace quaycell {

struct LoggedAnode {
    std::string boat; ///< may be empty
    FittedAnode anode;
};

/// The anodes that are fitted now, by boat (see boats_of) and place, with what was seen of each
/// since, in order of time: of one boat's entries each place has one anode. Struck entries do not
/// count. `where` names the rows in complaints. Error (damaged): a word without a meaning, a mass
/// that no anode has, or an entry on an anode that nobody fitted.
Result<std::vector<LoggedAnode>> anodes_in(std::span<const AnodeEntryRow> rows,
                                           const std::string& where);

/// The one at that place. Errors: not_found, which lists the places; wrong_usage, where several
/// boats have one there.
Result<LoggedAnode> anode_at(const std::vector<LoggedAnode>& anodes, std::string_view place);

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
