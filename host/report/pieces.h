// What a page is filled with: pieces that stay whole.
#pragma once

#include "report/document.h"

#include <optional>
#include <vector>

namespace quaycell {

struct Piece {
    std::vector<Item> items; ///< from 0 down; across as on the page
    double height_mm = 0;
    bool keeps_with_next = false;
    std::optional<std::size_t> head; ///< the piece to repeat when this one begins a page
};

/// The column of text that pieces are made for.
struct TextColumn {
    double left_mm;
    double width_mm;
    double height_mm; ///< no piece is higher
};

std::vector<Piece> pieces_of(const Document& document, const TextColumn& column,
                             const TextWidth& text_width);

/// The same item elsewhere, `scale` times as large.
Item placed(Item item, double right_mm, double down_mm, double scale = 1);

} // namespace quaycell
