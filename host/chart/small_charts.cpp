#include "chart/small_charts.h"

#include "chart/style.h"
#include "chart/trace_parts.h"

#include <algorithm>
#include <cmath>

namespace quaycell {

namespace {

constexpr double title_height_mm = 5;
constexpr double plot_height_mm = small_chart_step_mm - title_height_mm - 1;
constexpr double value_spacing_mm = 5;
constexpr double least_range = 2; ///< mV or degC: noise is not blown up
constexpr double margin_share = 0.08;

bool has_any(const Column<double>& column) {
    for (std::size_t row = 0; row < column.size(); ++row)
        if (std::isfinite(column[row])) return true;
    return false;
}

} // namespace

std::vector<SmallChart> small_charts_of(const Readings& trace) {
    std::vector<SmallChart> charts;
    const auto add = [&charts](const char* title, const Column<double>& column,
                               bool is_potential = false) {
        if (has_any(column)) charts.push_back({title, column, is_potential});
    };
    add("AC at the cell, mV rms", trace.ac_mv);
    add("Against cell B, mV as measured", trace.cell_b_mv, true);
    add("Water temperature, °C", trace.temperature_c);
    return charts;
}

Plot small_plot(const Plot& above, const SmallChart& chart, double top_mm,
                const DrawnLines& lines) {
    Plot plot = above;
    plot.low_on_top = above.low_on_top && chart.is_potential;
    plot.place.top_mm = top_mm + title_height_mm;
    plot.place.height_mm = plot_height_mm;
    plot.low = std::numeric_limits<double>::infinity();
    plot.high = -plot.low;
    for (const auto& each : lines)
        for (const DrawnReading& reading : each) {
            plot.low = std::min(plot.low, reading.value);
            plot.high = std::max(plot.high, reading.value);
        }
    const double extra =
        std::max((least_range - (plot.high - plot.low)) / 2, margin_share * (plot.high - plot.low));
    const bool never_negative = plot.low >= 0;
    plot.low -= extra;
    plot.high += extra;
    // What is 0 throughout still stands clear of the frame.
    if (never_negative) plot.low = std::max(plot.low, -margin_share * plot.high);
    return plot;
}

Group draw_small_chart(const Plot& plot, const std::string& title, const DrawnLines& drawn,
                       std::span<const Gap> gaps) {
    Group group{title, {}};
    const Rectangle& place = plot.place;
    for (const Gap& gap : gaps) {
        const double left = std::max(plot.x_mm(gap.from), place.left_mm);
        const double right = std::min(plot.x_mm(gap.to), place.right_mm());
        if (right - left >= thin_mm)
            group.items.emplace_back(
                Area{{left, place.top_mm, right - left, place.height_mm}, grey, gap_opacity});
    }
    Lines lines{{}, ink, trace_mm};
    Lines lone{{}, ink, lone_reading_mm};
    for (std::vector<Point>& found : points_of(plot, drawn))
        (found.size() == 1 ? lone : lines).lines.push_back(std::move(found));
    group.items.emplace_back(std::move(lines));
    group.items.emplace_back(std::move(lone));
    add_value_axis(group, plot, value_spacing_mm, small_size_mm);
    group.items.emplace_back(Text{{place.left_mm - plot_axis_width_mm, place.top_mm - 1.6},
                                  title,
                                  small_size_mm,
                                  Anchor::start,
                                  true,
                                  ink});
    return group;
}

} // namespace quaycell
