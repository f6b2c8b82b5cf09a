#include "chart/hatch.h"

#include <algorithm>
#include <cmath>

namespace quaycell {

namespace {

using Strokes = std::vector<std::vector<Point>>;

constexpr double tint = 0.13;
constexpr double stroke_opacity = 0.6;
constexpr double stroke_mm = 0.18;
constexpr double dot_mm = 0.4;
constexpr double dot_spacing = 0.7; ///< of the spacing of strokes

/// The multiples of a step, moved by `shift`, from `low` to below `high`.
std::vector<double> multiples(double step, double low, double high, double shift = 0) {
    std::vector<double> found;
    const auto first = static_cast<long>(std::ceil((low - shift) / step));
    const auto end = static_cast<long>(std::ceil((high - shift) / step));
    for (long i = first; i < end; ++i)
        found.push_back(static_cast<double>(i) * step + shift);
    return found;
}

/// Lines x + slope * y = constant, slope 1 (rising to the right) or -1 (falling).
void add_slanted(Strokes& strokes, const Rectangle& place, double slope, double spacing_mm) {
    const double at_top = slope * place.top_mm;
    const double at_bottom = slope * place.bottom_mm();
    const double low = place.left_mm + std::min(at_top, at_bottom);
    const double high = place.right_mm() + std::max(at_top, at_bottom);
    for (const double sum : multiples(spacing_mm * std::sqrt(2.0), low, high)) {
        // Clipped between the sides first, then between top and bottom.
        const double y_left = (sum - place.left_mm) / slope;
        const double y_right = (sum - place.right_mm()) / slope;
        const double top = std::max(place.top_mm, std::min(y_left, y_right));
        const double bottom = std::min(place.bottom_mm(), std::max(y_left, y_right));
        if (top < bottom)
            strokes.push_back({{sum - slope * top, top}, {sum - slope * bottom, bottom}});
    }
}

void add_upright(Strokes& strokes, const Rectangle& place, double spacing_mm) {
    for (const double x : multiples(spacing_mm, place.left_mm, place.right_mm()))
        strokes.push_back({{x, place.top_mm}, {x, place.bottom_mm()}});
}

/// Rows of dots, every other one between those above it.
void add_dots(Strokes& strokes, const Rectangle& place, double spacing_mm) {
    for (const double shift : {0.0, spacing_mm})
        for (const double y : multiples(2 * spacing_mm, place.top_mm, place.bottom_mm(), shift))
            for (const double x : multiples(2 * spacing_mm, place.left_mm, place.right_mm(), shift))
                strokes.push_back({{x, y}});
}

} // namespace

Strokes hatch_strokes(const Rectangle& place, Hatch hatch, double spacing_mm) {
    Strokes strokes;
    switch (hatch) {
    case Hatch::rising:
        add_slanted(strokes, place, 1, spacing_mm);
        break;
    case Hatch::falling:
        add_slanted(strokes, place, -1, spacing_mm);
        break;
    case Hatch::upright:
        add_upright(strokes, place, spacing_mm);
        break;
    case Hatch::crossed:
        // Wider, so that twice the strokes are no darker.
        add_slanted(strokes, place, 1, 2 * spacing_mm);
        add_slanted(strokes, place, -1, 2 * spacing_mm);
        break;
    case Hatch::dots:
        add_dots(strokes, place, spacing_mm * dot_spacing);
        break;
    }
    return strokes;
}

std::vector<Item> hatched(const Rectangle& place, Colour colour, Hatch hatch, double spacing_mm) {
    return {Area{place, colour, tint},
            Lines{hatch_strokes(place, hatch, spacing_mm), colour,
                  hatch == Hatch::dots ? dot_mm : stroke_mm, stroke_opacity}};
}

} // namespace quaycell
