// A document as pages of a given size, each a scene.
#pragma once

#include "report/document.h"

#include <string_view>
#include <vector>

namespace quaycell {

struct PageSize {
    std::string_view name;
    double width_mm;
    double height_mm;

    /// Of the text between the margins.
    double text_width_mm() const;
};

inline constexpr PageSize a4{"a4", 210, 297};             ///< ISO 216
inline constexpr PageSize letter{"letter", 215.9, 279.4}; ///< ANSI Y14.1, 8.5 by 11 inches

/// Sets the document. No page ends within a row of a table or between a heading and what follows
/// it; a small table stays whole, a large one repeats its head; a row or a figure that no page
/// holds is cut between its lines, or made smaller. A figure that has no room left on a page is
/// made somewhat smaller or put at the head of the next one, after what follows it. Every page
/// carries title, footing and "Page N of M".
std::vector<Scene> set_pages(const Document& document, const PageSize& size,
                             const TextWidth& text_width);

} // namespace quaycell
