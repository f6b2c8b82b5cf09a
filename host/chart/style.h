// How the charts look: colours, pens and sizes, stated once.
#pragma once

#include "chart/hatch.h"
#include "protection/verdict.h"

namespace quaycell {

// Colours told apart by people with any kind of colour vision: Okabe and Ito, "Color Universal
// Design" (2008), from memory. Every one comes with its own hatch and a word.
constexpr Colour vermillion{213, 94, 0};
constexpr Colour bluish_green{0, 158, 115};
constexpr Colour reddish_purple{204, 121, 167};
constexpr Colour orange{230, 159, 0};
constexpr Colour blue{0, 114, 178};
constexpr Colour grey{110, 110, 110};

constexpr Colour ink{26, 26, 26};
constexpr Colour faint_ink{90, 90, 90};
constexpr Colour frame_colour{120, 120, 120};
constexpr Colour paper{255, 255, 255};

constexpr double title_size_mm = 4.2;
constexpr double text_size_mm = 2.8;
constexpr double small_size_mm = 2.4;
constexpr double line_height = 1.35; ///< of the text size

constexpr Colour ribbon_colour = blue;
constexpr double ribbon_opacity = 0.35;
constexpr double gap_opacity = 0.25; ///< of grey over a time without readings

constexpr double hair_mm = 0.1;
constexpr double thin_mm = 0.18;
constexpr double limit_mm = 0.27;
constexpr double trace_mm = 0.3;
constexpr double lone_reading_mm = 1.0;

struct VerdictStyle {
    Colour colour;
    Hatch hatch;
};

constexpr VerdictStyle style_of(Verdict verdict) {
    switch (verdict) {
    case Verdict::under_protected:
        return {vermillion, Hatch::rising};
    case Verdict::protected_:
        return {bluish_green, Hatch::dots};
    case Verdict::over_protected:
        return {reddish_purple, Hatch::falling};
    case Verdict::undecided:
        return {orange, Hatch::upright};
    case Verdict::no_verdict:
        break;
    }
    return {grey, Hatch::crossed};
}

/// A line from point to point.
inline Lines line(std::vector<Point> points, Colour colour, double width_mm, double dash_mm = 0) {
    return {{std::move(points)}, colour, width_mm, 1, dash_mm};
}

/// The edge of a rectangle.
inline Lines outline(const Rectangle& place, Colour colour, double width_mm) {
    return line({{place.left_mm, place.top_mm},
                 {place.right_mm(), place.top_mm},
                 {place.right_mm(), place.bottom_mm()},
                 {place.left_mm, place.bottom_mm()},
                 {place.left_mm, place.top_mm}},
                colour, width_mm);
}

} // namespace quaycell
