#include "chart/hatch.h"

#include <cmath>
#include <doctest/doctest.h>

using namespace quaycell;

namespace {

constexpr Rectangle place{10, 20, 30, 7};

} // namespace

TEST_CASE("strokes stay inside their rectangle and fill it") {
    for (const Hatch hatch :
         {Hatch::rising, Hatch::falling, Hatch::upright, Hatch::crossed, Hatch::dots}) {
        const auto strokes = hatch_strokes(place, hatch, 2);
        CHECK(strokes.size() >= 10);
        for (const auto& stroke : strokes) {
            for (const Point& point : stroke) {
                CHECK(point.x_mm >= place.left_mm - 1e-9);
                CHECK(point.x_mm <= place.right_mm() + 1e-9);
                CHECK(point.y_mm >= place.top_mm - 1e-9);
                CHECK(point.y_mm <= place.bottom_mm() + 1e-9);
            }
        }
    }
}

TEST_CASE("rising strokes rise to the right, falling ones fall") {
    for (const auto& stroke : hatch_strokes(place, Hatch::rising, 2))
        CHECK((stroke[1].x_mm - stroke[0].x_mm) * (stroke[1].y_mm - stroke[0].y_mm) < 0);
    for (const auto& stroke : hatch_strokes(place, Hatch::falling, 2))
        CHECK((stroke[1].x_mm - stroke[0].x_mm) * (stroke[1].y_mm - stroke[0].y_mm) > 0);
}

TEST_CASE("neighbouring rectangles match at their common edge") {
    const auto above = hatch_strokes({0, 0, 20, 5}, Hatch::rising, 2);
    const auto below = hatch_strokes({0, 5, 20, 5}, Hatch::rising, 2);
    int joined = 0;
    for (const auto& upper : above)
        for (const auto& lower : below)
            joined += std::abs(upper[1].x_mm - lower[0].x_mm) < 1e-9 &&
                      std::abs(upper[1].y_mm - lower[0].y_mm) < 1e-9;
    CHECK(joined == 7); // 20 mm / (2 mm * sqrt 2)
}

TEST_CASE("a rectangle without extent has no strokes") {
    CHECK(hatch_strokes({0, 0, 0, 5}, Hatch::rising, 2).empty());
    CHECK(hatch_strokes({0.5, 0.5, 0, 0}, Hatch::dots, 2).empty());
}
