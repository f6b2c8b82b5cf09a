// What draws here: drawing libraries, and the fonts that they find for a report's texts.
#pragma once

#include "base/result.h"
#include "report/document.h"

#include <string>
#include <vector>

namespace quaycell {

/// What a sample has to show, so that it needs every font that the document needs: each of its
/// characters beyond ASCII, and whole words in scripts whose letters change with their neighbours.
std::vector<std::string> font_sample(const Document& document);

/// Tells one set of libraries and fonts from another: the digest of a PDF of the sample, in plain
/// and in bold; the same for the same.
Result<std::string> drawing_fingerprint(const std::vector<std::string>& sample);

} // namespace quaycell
