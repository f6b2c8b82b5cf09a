#include "chart/ribbon.h"

#include "chart/style.h"

#include <algorithm>
#include <cmath>

namespace quaycell {

namespace {

constexpr double step_mm = 0.4; ///< finer than a ribbon's edge shows
constexpr double bar_mm = 0.8;  ///< of a reading alone

/// What the points of one step span.
struct Extent {
    double left_mm;
    double right_mm;
    double top_mm;
    double bottom_mm;
};

std::vector<Extent> extents_of(const std::vector<Point>& line) {
    std::vector<Extent> extents;
    double filled = 0;
    for (const Point& point : line) {
        const double step = std::floor(point.x_mm / step_mm);
        if (extents.empty() || step != filled) {
            extents.push_back({point.x_mm, point.x_mm, point.y_mm, point.y_mm});
            filled = step;
            continue;
        }
        Extent& extent = extents.back();
        extent.right_mm = point.x_mm;
        extent.top_mm = std::min(extent.top_mm, point.y_mm);
        extent.bottom_mm = std::max(extent.bottom_mm, point.y_mm);
    }
    if (extents.size() == 1) {
        const double missing_mm = bar_mm - (extents[0].right_mm - extents[0].left_mm);
        extents[0].left_mm -= std::max(missing_mm / 2, 0.0);
        extents[0].right_mm += std::max(missing_mm / 2, 0.0);
    }
    return extents;
}

} // namespace

Group draw_ribbon(const Plot& plot, const std::vector<std::vector<Point>>& lines,
                  double expanded_mv) {
    Group group{"Uncertainty of a reading, k = 2", {}};
    const Rectangle& place = plot.place;
    // Where it is wider than the plot, it fills the plot.
    const auto within = [&place](double y_mm) {
        return std::clamp(y_mm, place.top_mm, place.bottom_mm());
    };
    const double half_mm = std::abs(plot.y_mm(expanded_mv) - plot.y_mm(0));
    for (const std::vector<Point>& line : lines) {
        const std::vector<Extent> extents = extents_of(line);
        Polygon ribbon{{}, ribbon_colour, ribbon_opacity};
        for (const Extent& extent : extents) {
            ribbon.corners.push_back({extent.left_mm, within(extent.top_mm - half_mm)});
            if (extent.right_mm > extent.left_mm)
                ribbon.corners.push_back({extent.right_mm, within(extent.top_mm - half_mm)});
        }
        for (auto extent = extents.rbegin(); extent != extents.rend(); ++extent) {
            ribbon.corners.push_back({extent->right_mm, within(extent->bottom_mm + half_mm)});
            if (extent->right_mm > extent->left_mm)
                ribbon.corners.push_back({extent->left_mm, within(extent->bottom_mm + half_mm)});
        }
        group.items.emplace_back(std::move(ribbon));
    }
    return group;
}

} // namespace quaycell
