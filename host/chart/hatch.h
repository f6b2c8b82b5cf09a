// Hatching: the part of a fill that survives a grey printer.
#pragma once

#include "chart/scene.h"

namespace quaycell {

enum class Hatch { rising, falling, upright, crossed, dots };

/// The strokes of a hatch inside a rectangle, `spacing_mm` apart. They keep their place whatever
/// the rectangle, so that two rectangles side by side match.
std::vector<std::vector<Point>> hatch_strokes(const Rectangle& place, Hatch hatch,
                                              double spacing_mm);

/// A rectangle in a verdict's colour and hatch.
std::vector<Item> hatched(const Rectangle& place, Colour colour, Hatch hatch, double spacing_mm);

} // namespace quaycell
