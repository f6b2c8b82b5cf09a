// A document as one HTML file that needs nothing else.
#pragma once

#include "report/document.h"

#include <optional>
#include <string_view>

namespace quaycell {

/// A whole HTML 5 document, UTF-8, with its figures as SVG inside and no script; the same bytes for
/// the same document. Whatever the texts hold, they carry no markup. It prints well.
std::string to_html(const Document& document);

/// The evidence number that such a file states; nothing when it is another file.
std::optional<std::string> evidence_number_in_html(std::string_view html);

} // namespace quaycell
