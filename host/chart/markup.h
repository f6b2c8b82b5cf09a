// Text that stands in markup.
#pragma once

#include <string>
#include <string_view>

namespace quaycell {

/// The text, cleaned (clean_text), with the five characters that mean something in XML and HTML
/// written as entities.
std::string escaped_markup(std::string_view text);

} // namespace quaycell
