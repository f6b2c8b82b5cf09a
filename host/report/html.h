// A document as one HTML file that needs nothing else.
#pragma once

#include "report/document.h"

namespace quaycell {

/// A whole HTML 5 document, UTF-8, with its figures as SVG inside and no script; the same bytes for
/// the same document. Whatever the texts hold, they carry no markup. It prints well.
std::string to_html(const Document& document);

} // namespace quaycell
