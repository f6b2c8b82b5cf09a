// What a page is filled with: pieces that stay whole.
#pragma once

#include "report/document.h"

#include <optional>
#include <vector>

namespace quaycell {

/// What a piece begins with when it is a figure: it may be made somewhat smaller, or stand on the
/// next page, so that no page is left half empty for its sake.
struct Picture {
    std::vector<Item> items; ///< as in its scene
    double height_mm;        ///< at `scale`
    double scale;            ///< at most

    double least_height_mm() const;
};

struct Piece {
    std::vector<Item> items; ///< from 0 down, or from its picture down; across as on the page
    double height_mm = 0;    ///< of these
    bool keeps_with_next = false;
    std::optional<std::size_t> head; ///< the piece to repeat when this one begins a page
    std::optional<Picture> picture{};

    double least_height_mm() const {
        return height_mm + (picture ? picture->least_height_mm() : 0);
    }
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
