#include "chart/text_block.h"

#include "chart/style.h"
#include "chart/text.h"

namespace quaycell {

TextBlock::TextBlock(Point top_left, double width_mm, const TextWidth& text_width)
    : left_mm_(top_left.x_mm), at_mm_(top_left.y_mm), width_mm_(width_mm), text_width_(text_width) {
}

void TextBlock::add_line(const std::string& text, double size_mm, bool bold, Colour colour) {
    if (text.empty()) return;
    at_mm_ += size_mm * line_height;
    group_.items.emplace_back(
        Text{{left_mm_, at_mm_ - size_mm * (line_height - 1)},
             shortened(clean_text(text), width_mm_, size_mm, bold, text_width_),
             size_mm,
             Anchor::start,
             bold,
             colour});
}

void TextBlock::add_paragraph(const std::string& text, double size_mm, Colour colour) {
    for (const std::string& line :
         wrapped(clean_text(text), width_mm_, size_mm, false, text_width_))
        add_line(line, size_mm, false, colour);
}

} // namespace quaycell
