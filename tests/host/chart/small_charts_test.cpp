#include "chart/small_charts.h"

#include "chart/trace_chart.h"
#include "scene_text.h"

#include <algorithm>
#include <doctest/doctest.h>

using namespace quaycell;
using namespace quaycell::testing;

namespace {

const Instant monday = parse_instant("2026-05-04T00:00:00Z").value();

/// A reading a minute, with AC all the time, temperature at first, and no second cell.
Trace hours(std::size_t count) {
    Trace trace;
    for (std::size_t i = 0; i < count; ++i) {
        trace.time.push_back(monday + std::chrono::minutes{i});
        trace.potential_mv.push_back(-980);
        trace.ac_mv.push_back(i == count / 2 ? 70 : 5);
        trace.temperature_c.push_back(i < count / 2 ? 12 : missing_value);
        trace.cell_b_mv.push_back(missing_value);
    }
    return trace;
}

Scene scene_of(const Trace& trace) {
    const std::vector<ByConstants> standard_mv(trace.potential_mv.begin(),
                                               trace.potential_mv.end());
    const std::vector<double> expanded(trace.time.size(), 10);
    const JudgedTrace judged = judge_trace(trace, {}, standard_mv, expanded);
    return draw_trace(trace, judged, {}, {"Hull potential", "", "", "", {}}, {}, fake_text_width);
}

Lines first_lines(const Group& group) {
    const auto found = std::ranges::find_if(
        group.items, [](const Item& item) { return std::holds_alternative<Lines>(item); });
    REQUIRE(found != group.items.end());
    return std::get<Lines>(*found);
}

} // namespace

TEST_CASE("what was not measured has no chart") {
    const auto charts = small_charts_of(hours(100));
    REQUIRE(charts.size() == 2);
    CHECK(charts[0].title == "AC at the cell, mV rms");
    CHECK(charts[1].title == "Water temperature, °C");
    Trace bare = hours(100);
    bare.ac_mv.clear();
    bare.temperature_c.clear();
    CHECK(small_charts_of(bare).empty());
}

TEST_CASE("each chart makes the picture higher by the same, and the potential's plot stays") {
    Trace bare = hours(100);
    bare.ac_mv.clear();
    bare.temperature_c.clear();
    const Scene with = scene_of(hours(100));
    const Scene without = scene_of(bare);
    CHECK(with.height_mm == doctest::Approx(without.height_mm + 2 * small_chart_step_mm));
    CHECK(to_text(group_titled(with, "Readings")) == to_text(group_titled(without, "Readings")));
}

TEST_CASE("one reading's AC among a year of minutes is in the picture") {
    const Scene scene = scene_of(hours(525600));
    const Lines lines = first_lines(group_titled(scene, "AC at the cell, mV rms"));
    double highest_mm = scene.height_mm;
    double lowest_mm = 0;
    std::size_t points = 0;
    for (const auto& each : lines.lines) {
        points += each.size();
        for (const Point& point : each) {
            highest_mm = std::min(highest_mm, point.y_mm);
            lowest_mm = std::max(lowest_mm, point.y_mm);
        }
    }
    CHECK(lowest_mm - highest_mm > 10); // of the chart's 14 mm
    CHECK(points < 5000);
}

TEST_CASE("a value stands under the same moment of the potential above") {
    const Plot above{{20, 30, 100, 60}, monday, monday + std::chrono::minutes{100}, -1000, -900};
    const Plot plot = small_plot(above, {"AC", {}}, 90, {{{monday, 5}}, {{monday, 70}}});
    CHECK(plot.x_mm(monday + std::chrono::minutes{50}) ==
          above.x_mm(monday + std::chrono::minutes{50}));
    CHECK(plot.place.top_mm > 90);
    CHECK(plot.place.bottom_mm() <= 90 + small_chart_step_mm);
    CHECK(plot.low < 5);
    CHECK(plot.high > 70);
}

TEST_CASE("where the more negative potential is up, more AC and warmer water are up all the same") {
    Plot above{{20, 30, 100, 60}, monday, monday + std::chrono::minutes{100}, -1000, -900};
    above.low_on_top = true;
    const DrawnLines drawn{{{monday, 5}}, {{monday, 70}}};
    const Plot ac = small_plot(above, {"AC", {}}, 90, drawn);
    CHECK(ac.y_mm(70) < ac.y_mm(5));
    const Plot cell_b = small_plot(above, {"Cell B", {}, true}, 90, drawn);
    CHECK(cell_b.y_mm(70) > cell_b.y_mm(5));
}

TEST_CASE("texts of the small charts overlap nothing and stay in the picture") {
    const Scene scene = scene_of(hours(5000));
    const std::vector<Text> texts = texts_of(scene);
    for (std::size_t i = 0; i < texts.size(); ++i) {
        CAPTURE(texts[i].text);
        const Rectangle box = box_of(texts[i]);
        CHECK(box.left_mm >= 0);
        CHECK(box.bottom_mm() <= scene.height_mm);
        for (std::size_t j = i + 1; j < texts.size(); ++j) {
            CAPTURE(texts[j].text);
            CHECK_FALSE(overlap(box, box_of(texts[j])));
        }
    }
}

TEST_CASE("AC that was 0 all the time is a line clear of the frame") {
    Trace quiet = hours(100);
    quiet.ac_mv.assign(100, 0);
    const Group chart = group_titled(scene_of(quiet), "AC at the cell, mV rms");
    double frame_mm = 0;
    for (const Item& item : chart.items)
        if (const auto* lines = std::get_if<Lines>(&item))
            for (const auto& each : lines->lines)
                for (const Point& point : each)
                    frame_mm = std::max(frame_mm, point.y_mm);
    const Lines trace = first_lines(chart);
    for (const Point& point : trace.lines.at(0))
        CHECK(frame_mm - point.y_mm > 0.5);
}
