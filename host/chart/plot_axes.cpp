#include "chart/trace_parts.h"

#include "chart/axis.h"
#include "chart/style.h"

namespace quaycell {

namespace {

constexpr double value_spacing_mm = 7;
constexpr double clock_change_dash_mm = 0.8;

} // namespace

void add_value_axis(Group& group, const Plot& plot, double spacing_mm, double text_mm) {
    const Rectangle& place = plot.place;
    group.items.emplace_back(outline(place, frame_colour, thin_mm));
    for (const ValueTick& tick : value_ticks(plot.low, plot.high, place.height_mm, spacing_mm)) {
        const double y = plot.y_mm(tick.value);
        group.items.emplace_back(
            line({{place.left_mm - 1.2, y}, {place.left_mm, y}}, frame_colour, thin_mm));
        group.items.emplace_back(Text{
            {place.left_mm - 2, y + text_mm * 0.36}, tick.label, text_mm, Anchor::end, false, ink});
    }
}

Group draw_value_axis(const Plot& plot, double title_bottom_mm) {
    const std::string title = plot.low_on_top
                                  ? "Hull potential, mV on agcl/seawater, more negative upward"
                                  : "Hull potential, mV on agcl/seawater";
    Group group{title, {}};
    const Rectangle& place = plot.place;
    add_value_axis(group, plot, value_spacing_mm, text_size_mm);
    group.items.emplace_back(Text{{place.left_mm - plot_axis_width_mm, title_bottom_mm - 1.2},
                                  title,
                                  text_size_mm,
                                  Anchor::start,
                                  true,
                                  ink});
    return group;
}

Group draw_time_axis(const Plot& plot, const Zone& zone, const TextWidth& text_width) {
    const std::string title = time_title(plot.from, plot.to, zone);
    Group group{title, {}};
    const Rectangle& place = plot.place;
    const double first_line = place.bottom_mm() + 1.8 + text_size_mm;
    const double second_line = first_line + text_size_mm * line_height;
    const TimeTicks ticks =
        time_ticks(plot.from, plot.to, zone, place.width_mm, text_size_mm, text_width);
    Lines marks{{}, frame_colour, thin_mm};
    for (const Instant time : ticks.minor)
        marks.lines.push_back(
            {{plot.x_mm(time), place.bottom_mm()}, {plot.x_mm(time), place.bottom_mm() + 0.7}});
    for (const TimeTick& tick : ticks.major) {
        const double x = plot.x_mm(tick.time);
        marks.lines.push_back({{x, place.bottom_mm()}, {x, place.bottom_mm() + 1.4}});
        if (!tick.label.empty())
            group.items.emplace_back(
                Text{{x, first_line}, tick.label, text_size_mm, Anchor::middle, false, ink});
        if (!tick.context.empty())
            group.items.emplace_back(Text{
                {x, second_line}, tick.context, text_size_mm, Anchor::middle, false, faint_ink});
    }
    group.items.emplace_back(std::move(marks));
    // A long one goes on to the right, where there is room; on the left the figure ends.
    const double least_middle_mm =
        place.left_mm - plot_axis_width_mm + text_width(title, text_size_mm, true) / 2;
    const double middle_mm = std::max(place.left_mm + place.width_mm / 2, least_middle_mm);
    group.items.emplace_back(Text{{middle_mm, second_line + text_size_mm * line_height},
                                  title,
                                  text_size_mm,
                                  Anchor::middle,
                                  true,
                                  ink});
    return group;
}

Lines clock_change_line(double x_mm, double top_mm, double bottom_mm) {
    return line({{x_mm, top_mm}, {x_mm, bottom_mm}}, faint_ink, thin_mm, clock_change_dash_mm);
}

Group draw_clock_changes(const Plot& plot, const Zone& zone) {
    Group group{"Clocks changed", {}};
    for (const ZoneStretch& change : zone.changes(plot.from, plot.to)) {
        const double x = plot.x_mm(change.from);
        group.items.emplace_back(clock_change_line(x, plot.place.top_mm, plot.place.bottom_mm()));
    }
    return group;
}

} // namespace quaycell
