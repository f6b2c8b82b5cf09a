#include "report/pieces.h"

#include <algorithm>

namespace quaycell {

namespace {

struct Placer {
    double right_mm;
    double down_mm;
    double scale;

    void place(Point& point) const {
        point = {right_mm + point.x_mm * scale, down_mm + point.y_mm * scale};
    }

    void operator()(Lines& lines) const {
        for (auto& each : lines.lines)
            std::ranges::for_each(each, [this](Point& point) { place(point); });
        lines.width_mm *= scale;
        lines.dash_mm *= scale;
    }
    void operator()(Area& area) const {
        area.place = {right_mm + area.place.left_mm * scale, down_mm + area.place.top_mm * scale,
                      area.place.width_mm * scale, area.place.height_mm * scale};
    }
    void operator()(Polygon& polygon) const {
        std::ranges::for_each(polygon.corners, [this](Point& point) { place(point); });
    }
    void operator()(Text& text) const {
        place(text.at);
        text.size_mm *= scale;
    }
};

} // namespace

Item placed(Item item, double right_mm, double down_mm, double scale) {
    std::visit(Placer{right_mm, down_mm, scale}, item);
    return item;
}

} // namespace quaycell
