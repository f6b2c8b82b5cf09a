// Lines of text from the top down.
#pragma once

#include "chart/scene.h"

namespace quaycell {

/// Cleans and fits what it is given, and remembers where the next line goes.
class TextBlock {
  public:
    TextBlock(Point top_left, double width_mm, const TextWidth& text_width);

    /// One line, cut where it is too wide. An empty one takes no room.
    void add_line(const std::string& text, double size_mm, bool bold, Colour colour);
    void add_paragraph(const std::string& text, double size_mm, Colour colour);

    double bottom_mm() const { return at_mm_; }
    Group take() { return std::move(group_); }

  private:
    double left_mm_;
    double at_mm_;
    double width_mm_;
    const TextWidth& text_width_;
    Group group_;
};

} // namespace quaycell
