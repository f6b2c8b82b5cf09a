// Text for a window that may be narrow.
#pragma once

#include <cstddef>
#include <optional>
#include <string>

namespace quaycell {

/// Columns of the terminal that standard error goes to; nothing where it goes elsewhere.
std::optional<std::size_t> columns_of_words();

/// Each line that is longer than that is broken at blanks; what follows is indented by two more.
/// Columns of a table in it close up.
std::string fitted(const std::string& text, std::size_t columns);

/// As it is to be written to standard error.
std::string fitted_words(const std::string& text);

/// As it is to be written to standard output: as it stands where that is no terminal.
std::string fitted_output(const std::string& text);

} // namespace quaycell
