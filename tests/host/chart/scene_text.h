// A scene as text, for golden comparisons, and what else the tests ask of scenes.
#pragma once

#include "chart/scene.h"

#include <algorithm>
#include <fmt/format.h>

namespace quaycell::testing {

/// Stands in for a font: every character is 0.6 of its size wide, bold ones 0.7.
inline double fake_text_width(std::string_view text, double size_mm, bool bold) {
    const auto characters =
        std::count_if(text.begin(), text.end(), [](char c) { return (c & 0xC0) != 0x80; });
    return static_cast<double>(characters) * size_mm * (bold ? 0.7 : 0.6);
}

inline std::vector<Text> texts_of(const Group& group) {
    std::vector<Text> found;
    for (const Item& item : group.items)
        if (const Text* text = std::get_if<Text>(&item)) found.push_back(*text);
    return found;
}

inline std::vector<Text> texts_of(const Scene& scene) {
    std::vector<Text> found;
    for (const Group& group : scene.groups)
        for (const Text& text : texts_of(group))
            found.push_back(text);
    return found;
}

inline bool has_text(const Scene& scene, std::string_view wanted) {
    const std::vector<Text> texts = texts_of(scene);
    return std::any_of(texts.begin(), texts.end(),
                       [wanted](const Text& text) { return text.text == wanted; });
}

/// The group of that title; an empty one when there is none.
inline Group group_titled(const Scene& scene, std::string_view title) {
    for (const Group& group : scene.groups)
        if (group.title == title) return group;
    return {};
}

/// Where a text comes to stand: from its ascenders to its descenders.
inline Rectangle box_of(const Text& text) {
    const double width = fake_text_width(text.text, text.size_mm, text.bold);
    const double share = text.anchor == Anchor::start ? 0 : text.anchor == Anchor::end ? 1 : 0.5;
    return {text.at.x_mm - share * width, text.at.y_mm - 0.76 * text.size_mm, width, text.size_mm};
}

inline bool overlap(const Rectangle& a, const Rectangle& b) {
    constexpr double touch_mm = 1e-6;
    return a.left_mm < b.right_mm() - touch_mm && b.left_mm < a.right_mm() - touch_mm &&
           a.top_mm < b.bottom_mm() - touch_mm && b.top_mm < a.bottom_mm() - touch_mm;
}

/// One line per item: what it is, where, and for texts what it says.
inline std::string to_text(const Group& group) {
    std::string out = group.title + "\n";
    struct Writer {
        std::string& out;
        void operator()(const Lines& lines) const {
            for (const std::vector<Point>& line : lines.lines) {
                out += "  line";
                for (const Point& point : line)
                    out += fmt::format(" {:.1f},{:.1f}", point.x_mm, point.y_mm);
                out += '\n';
            }
        }
        void operator()(const Area& area) const {
            out += fmt::format("  area {:.1f},{:.1f} {:.1f}x{:.1f}\n", area.place.left_mm,
                               area.place.top_mm, area.place.width_mm, area.place.height_mm);
        }
        void operator()(const Polygon& polygon) const {
            out += fmt::format("  polygon of {} at {:.1f},{:.1f}\n", polygon.corners.size(),
                               polygon.corners[0].x_mm, polygon.corners[0].y_mm);
        }
        void operator()(const Text& text) const {
            out += fmt::format("  text {:.1f},{:.1f} {}\n", text.at.x_mm, text.at.y_mm, text.text);
        }
    };
    for (const Item& item : group.items)
        std::visit(Writer{out}, item);
    return out;
}

} // namespace quaycell::testing
