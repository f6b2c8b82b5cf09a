#include "chart/trace_parts.h"

#include "chart/style.h"

namespace quaycell {

namespace {

constexpr double mark_mm = 1.4;
constexpr double least_apart_mm = 0.8; ///< closer marks would be one blot

} // namespace

Polygon event_mark(Point tip) {
    const double top_mm = tip.y_mm - mark_mm;
    return {{tip, {tip.x_mm - mark_mm / 2, top_mm}, {tip.x_mm + mark_mm / 2, top_mm}}, ink};
}

Group draw_event_marks(const Plot& plot, const std::vector<Event>& events,
                       const TextWidth& text_width) {
    Group group{"Events", {}};
    const double tip = plot.place.top_mm;
    double marked_to = plot.place.left_mm - least_apart_mm;
    double words_to = plot.place.left_mm - plot_axis_width_mm;
    for (const Event& event : events) {
        if (event.kind == EventKind::gap || event.time < plot.from || event.time > plot.to)
            continue;
        const double x = plot.x_mm(event.time);
        if (x < marked_to + least_apart_mm) continue;
        marked_to = x;
        group.items.emplace_back(event_mark({x, tip}));
        const std::string word{name_of(event.kind)};
        const double width = text_width(word, small_size_mm, false);
        if (x - width / 2 < words_to || x + width / 2 > plot.place.right_mm()) continue;
        words_to = x + width / 2 + small_size_mm / 2;
        group.items.emplace_back(
            Text{{x, tip - mark_mm - 0.6}, word, small_size_mm, Anchor::middle, false, ink});
    }
    return group;
}

} // namespace quaycell
