// Text made to fit.
#pragma once

#include "chart/scene.h"

namespace quaycell {

/// Whether all of it is well-formed UTF-8.
bool is_utf8(std::string_view text);

/// The same text as valid UTF-8 without control characters, those that turn the direction of
/// writing included; what is wrong becomes U+FFFD, the end of a line or a tabulator a space.
std::string clean_text(std::string_view text);

/// The text, cut with an ellipsis where it is wider than `width_mm`.
std::string shortened(const std::string& text, double width_mm, double size_mm, bool bold,
                      const TextWidth& text_width);

/// The text in lines of at most `width_mm`, broken at spaces, a word that is too long within.
std::vector<std::string> wrapped(const std::string& text, double width_mm, double size_mm,
                                 bool bold, const TextWidth& text_width);

} // namespace quaycell
