// The log of a boat's anodes as one document that goes with a report, so that it can be read again
// without the archive.
#pragma once

#include "archive/anode_rows.h"
#include "base/result.h"

#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace quaycell {

/// Every entry, struck ones and those on anodes that are gone included.
struct AnodeDocument {
    std::string boat; ///< that entries_of_boat() took them of; may be empty
    std::vector<AnodeEntryRow> entries;
};

std::string anode_document(const AnodeDocument& log);

/// Error (wrong_input): another document.
Result<AnodeDocument> parse_anode_document(std::string_view document, const std::string& where);

} // namespace quaycell
