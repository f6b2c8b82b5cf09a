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

/// Lines x + slope * y = constant, slope 1 (rising to the right) or -1 (falling).
void add_slanted(Strokes& strokes, const Rectangle& place, double slope, double spacing_mm) {
    const double step = spacing_mm * std::sqrt(2.0);
    const double at_top = slope * place.top_mm;
    const double at_bottom = slope * place.bottom_mm();
    const double low = place.left_mm + std::min(at_top, at_bottom);
    const double high = place.right_mm() + std::max(at_top, at_bottom);
    for (double sum = std::ceil(low / step) * step; sum < high; sum += step) {
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
    for (double x = std::ceil(place.left_mm / spacing_mm) * spacing_mm; x < place.right_mm();
         x += spacing_mm)
        strokes.push_back({{x, place.top_mm}, {x, place.bottom_mm()}});
}

void add_dots(Strokes& strokes, const Rectangle& place, double spacing_mm) {
    bool odd = false;
    for (double y = std::ceil(place.top_mm / spacing_mm) * spacing_mm; y < place.bottom_mm();
         y += spacing_mm, odd = !odd) {
        const double shift = odd ? spacing_mm : 0;
        const double step = 2 * spacing_mm;
        for (double x = std::ceil((place.left_mm - shift) / step) * step + shift;
             x < place.right_mm(); x += step)
            strokes.push_back({{x, y}});
    }
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
