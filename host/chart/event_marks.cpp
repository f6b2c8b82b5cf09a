#include "chart/numbered.h"
#include "chart/style.h"
#include "chart/trace_parts.h"

namespace quaycell {

namespace {

constexpr double mark_mm = 1.4;
constexpr double least_apart_mm = 0.8; ///< closer marks would be one blot

} // namespace

Polygon event_mark(Point tip) {
    const double top_mm = tip.y_mm - mark_mm;
    return {{tip, {tip.x_mm - mark_mm / 2, top_mm}, {tip.x_mm + mark_mm / 2, top_mm}}, ink};
}

Group draw_event_marks(const Plot& plot, double tip_mm, const std::vector<Event>& events,
                       const std::vector<std::string>& event_numbers, const TextWidth& text_width) {
    Group group{"Events, by their numbers", {}};
    double marked_to = plot.place.left_mm - least_apart_mm;
    std::vector<Numbered> numbers;
    for (std::size_t i = 0; i < events.size(); ++i) {
        const Event& event = events[i];
        if (event_numbers[i].empty()) continue;
        const double x = plot.x_mm(event.time);
        numbers.push_back({x, event_numbers[i], std::string(name_of(event.kind))});
        if (x < marked_to + least_apart_mm) continue;
        marked_to = x;
        group.items.emplace_back(event_mark({x, tip_mm}));
    }
    for (Text& text :
         number_labels(numbers, tip_mm - mark_mm - 0.6, plot.place.left_mm - plot_axis_width_mm,
                       plot.place.right_mm(), text_width))
        group.items.emplace_back(std::move(text));
    return group;
}

} // namespace quaycell
