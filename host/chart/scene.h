// A picture as plain data, in millimetres from the top left corner; renderers draw it.
#pragma once

#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

namespace quaycell {

struct Point {
    double x_mm;
    double y_mm;
};

struct Rectangle {
    double left_mm;
    double top_mm;
    double width_mm;
    double height_mm;

    constexpr double right_mm() const { return left_mm + width_mm; }
    constexpr double bottom_mm() const { return top_mm + height_mm; }
};

struct Colour {
    std::uint8_t red;
    std::uint8_t green;
    std::uint8_t blue;
};

/// Lines that share one pen; ends and corners are round, so that a line of one point is a dot.
struct Lines {
    std::vector<std::vector<Point>> lines;
    Colour colour;
    double width_mm;
    double opacity = 1;
    double dash_mm = 0; ///< length of dashes and of the spaces between them; 0: unbroken
};

struct Area {
    Rectangle place;
    Colour colour;
    double opacity = 1;
};

/// A filled shape, such as a marker.
struct Polygon {
    std::vector<Point> corners;
    Colour colour;
    double opacity = 1;
};

enum class Anchor { start, middle, end };

/// One line of text; `at` is on its baseline.
struct Text {
    Point at;
    std::string text;
    double size_mm;
    Anchor anchor = Anchor::start;
    bool bold = false;
    Colour colour{0, 0, 0};
};

using Item = std::variant<Lines, Area, Polygon, Text>;

/// What belongs together; a title is read out and shown where the renderer can.
struct Group {
    std::string title;
    std::vector<Item> items;
};

struct Scene {
    double width_mm;
    double height_mm;
    std::string title;
    std::string description;   ///< the picture in words, for those who do not see it
    std::vector<Group> groups; ///< later ones cover earlier ones
};

/// How wide a line of text comes out, [mm]: the one thing that a scene has to ask of a font.
using TextWidth = std::function<double(std::string_view text, double size_mm, bool bold)>;

} // namespace quaycell
