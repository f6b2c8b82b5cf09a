#include "chart/trace_chart.h"

#include "chart/happenings_key.h"
#include "chart/ribbon.h"
#include "chart/small_charts.h"
#include "chart/style.h"
#include "chart/text.h"
#include "chart/text_block.h"
#include "chart/trace_parts.h"

#include <algorithm>
#include <cmath>
#include <future>

namespace quaycell {

namespace {

constexpr double margin_mm = 4;
constexpr double column_mm = 0.2;         ///< about a pixel of the usual PNG
constexpr double least_range_mv = 40;     ///< a quiet trace is not blown up into noise
constexpr Milliseconds least_span{10000}; ///< so that the time axis has something to show
constexpr std::size_t few_readings = 60;  ///< each gets a mark: taken by hand, not recorded
constexpr double most_ribbon_mv = 200;    ///< shown beyond the readings; more is cut off
constexpr double outer_band_share = 0.12; ///< of the range, beyond the last limit or reading

Group draw_readings(std::vector<std::vector<Point>> found_lines, bool few) {
    Lines lines{{}, ink, trace_mm};
    Lines lone{{}, ink, lone_reading_mm}; // a reading between two gaps must not be overlooked
    for (std::vector<Point>& found : found_lines) {
        if (few)
            for (const Point& point : found)
                lone.lines.push_back({point});
        else if (found.size() == 1)
            lone.lines.push_back(found);
        if (found.size() > 1) lines.lines.push_back(std::move(found));
    }
    return {"Readings", {std::move(lines), std::move(lone)}};
}

struct ValueRange {
    double low;
    double high;
};

/// Holds all readings with their ribbon and all limits with their zones, with some of the outer
/// bands.
ValueRange value_range(const DrawnLines& lines, double ribbon_mv,
                       const std::vector<ChartBand>& bands) {
    ValueRange range{std::numeric_limits<double>::infinity(),
                     -std::numeric_limits<double>::infinity()};
    const auto include = [&range](double value) {
        if (!std::isfinite(value)) return;
        range.low = std::min(range.low, value);
        range.high = std::max(range.high, value);
    };
    for (const auto& each : lines)
        for (const DrawnReading& reading : each)
            include(reading.value);
    const double shown_mv = std::min(ribbon_mv, most_ribbon_mv);
    range.low -= shown_mv;
    range.high += shown_mv;
    for (const double limit_mv : limits_of(bands)) {
        include(limit_mv - shown_mv);
        include(limit_mv + shown_mv);
    }
    if (range.low > range.high) return {-1200, 0}; // nothing to show: where hulls lie
    const double missing = least_range_mv - (range.high - range.low);
    const double extra = std::max(missing / 2, 0.0) +
                         outer_band_share * std::max(range.high - range.low, least_range_mv);
    return {range.low - extra, range.high + extra};
}

/// On one line where they fit.
void add_boat_and_place(TextBlock& heading, const ChartFacts& facts, double width_mm,
                        const TextWidth& text_width) {
    const std::string both =
        facts.boat + (facts.boat.empty() || facts.place.empty() ? "" : ", ") + facts.place;
    const bool fit = text_width(clean_text(both), text_size_mm, false) <= width_mm;
    heading.add_line(fit ? both : facts.boat, text_size_mm, false, ink);
    if (!fit) heading.add_line(facts.place, text_size_mm, false, ink);
}

} // namespace

Scene draw_trace(const Readings& trace, const JudgedTrace& judged,
                 const std::vector<ChartBand>& bands, const ChartFacts& facts,
                 const ChartOptions& options, const TextWidth& text_width) {
    const std::vector<SmallChart> small = small_charts_of(trace);
    const double small_height = small_chart_step_mm * static_cast<double>(small.size());
    const double width = std::clamp(options.width_mm, 120.0, 1000.0);
    const double height = std::clamp(options.height_mm, 100.0, 1000.0) + small_height;
    const double inner_width = width - 2 * margin_mm;
    const double label_width = std::clamp(width * 0.25, 30.0, 46.0);

    const double uncertainty_mv = options.expanded_uncertainty_mv.value_or(missing_value);
    const std::vector<std::string> numbers = event_numbers(judged.events, trace.time);

    Scene scene{width, height, clean_text(facts.title), "", {}};
    TextBlock heading({margin_mm, margin_mm - 1}, inner_width, text_width);
    heading.add_line(facts.title, title_size_mm, true, ink);
    add_boat_and_place(heading, facts, inner_width, text_width);
    heading.add_line(facts.period, text_size_mm, false, ink);
    heading.add_line(statistics_text(judged, uncertainty_mv), small_size_mm, false, faint_ink);

    Plot plot;
    if (!trace.time.empty()) {
        const Milliseconds missing = least_span - (trace.time.back() - trace.time.front());
        const Milliseconds extra = std::max(missing / 2, Milliseconds{0});
        plot.from = trace.time.front() - extra;
        plot.to = trace.time.back() + extra;
    }
    const StripKeys keys{options.expanded_uncertainty_mv,
                         std::ranges::any_of(numbers, [](auto& each) { return !each.empty(); }),
                         !options.zone.changes(plot.from, plot.to).empty(), options.with_key};
    const double strip_height = share_strip_height_mm(judged, inner_width, keys, text_width);
    const double marks_top = heading.bottom_mm() + 1.5 + text_size_mm * line_height;
    const double spells_top = marks_top + event_marks_height_mm;
    const double plot_top = spells_top + spell_strip_height_mm(judged);
    const std::vector<ChartBand> shown =
        options.expanded_uncertainty_mv ? with_undecided(bands, *options.expanded_uncertainty_mv)
                                        : bands;
    plot.place = {margin_mm + plot_axis_width_mm, plot_top,
                  inner_width - plot_axis_width_mm - plot_label_gap_mm - label_width,
                  height - margin_mm - strip_height - plot_axis_height_mm - small_height -
                      plot_top};
    std::vector<std::future<DrawnLines>> drawn_below;
    for (const SmallChart& each : small)
        drawn_below.push_back(std::async(
            std::launch::async, [plot, &gaps = judged.gaps, time = trace.time, own = each.values] {
                return drawn_lines(plot, time, own, gaps, column_mm);
            }));
    const DrawnLines drawn =
        drawn_lines(plot, trace.time, judged.standard_mv, judged.gaps, column_mm);
    const ValueRange range = value_range(drawn, options.expanded_uncertainty_mv.value_or(0), bands);
    plot.low_on_top = options.more_negative_up;
    plot.low = range.low;
    plot.high = range.high;

    scene.groups.push_back(heading.take());
    scene.groups.push_back(draw_bands(plot, shown));
    scene.groups.push_back(draw_gaps(plot, judged.gaps, text_width));
    scene.groups.push_back(draw_limits(plot, bands));
    auto lines = points_of(plot, drawn);
    if (options.expanded_uncertainty_mv)
        scene.groups.push_back(draw_ribbon(plot, lines, *options.expanded_uncertainty_mv));
    scene.groups.push_back(draw_readings(std::move(lines), trace.time.size() <= few_readings));
    scene.groups.push_back(draw_clock_changes(plot, options.zone));
    scene.groups.push_back(draw_spell_strip(plot, judged, text_width));
    scene.groups.push_back(draw_value_axis(plot, marks_top));
    Plot lowest = plot;
    for (std::size_t i = 0; i < small.size(); ++i) {
        const DrawnLines own = drawn_below[i].get();
        lowest = small_plot(plot, small[i], lowest.place.bottom_mm(), own);
        scene.groups.push_back(draw_small_chart(lowest, small[i].title, own, judged.gaps));
    }
    if (!trace.time.empty())
        scene.groups.push_back(draw_time_axis(lowest, options.zone, text_width));
    scene.groups.push_back(draw_event_marks(plot, spells_top, judged.events, numbers, text_width));
    scene.groups.push_back(draw_band_labels(plot,
                                            {plot.place.right_mm() + plot_label_gap_mm,
                                             plot.place.top_mm, label_width, plot.place.height_mm},
                                            shown, text_width));
    scene.groups.push_back(
        draw_share_strip({margin_mm, height - margin_mm - strip_height, inner_width, strip_height},
                         judged, keys, text_width));
    double bottom = height - margin_mm;
    if (options.with_key) {
        const auto rows = happenings_key(judged, numbers, uncertainty_mv, options.zone);
        scene.groups.push_back(
            draw_happenings_key({margin_mm, bottom + 1}, inner_width, rows, text_width));
        bottom += happenings_key_height_mm(rows, inner_width) + 1;
        scene.height_mm = bottom + margin_mm;
    }

    TextBlock caption({margin_mm, bottom + 1}, inner_width, text_width);
    for (const std::string& paragraph : facts.caption)
        caption.add_paragraph(paragraph, small_size_mm, faint_ink);
    if (!facts.caption.empty()) scene.height_mm = caption.bottom_mm() + margin_mm;
    scene.groups.push_back(caption.take());
    scene.description = description_of(trace, judged, bands, uncertainty_mv);
    return scene;
}

} // namespace quaycell
