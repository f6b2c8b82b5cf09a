// Scenes as the pages of a PDF, with text that stays text and its fonts inside.
#pragma once

#include "base/result.h"
#include "base/time.h"
#include "chart/scene.h"

#include <span>

namespace quaycell {

/// What a PDF says of itself.
struct PdfFacts {
    std::string title;
    std::string subject;
    Instant dated; ///< stands as its date: the same pages make the same bytes
};

/// A page each. Error: failed, when Cairo cannot (out of memory).
Result<std::string> render_pdf(std::span<const Scene> pages, const PdfFacts& facts);

} // namespace quaycell
