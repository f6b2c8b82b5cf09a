// Events, spells, the ribbon: what is marked on a trace.
#include "chart/render_svg.h"
#include "made_scenes.h"

#include <algorithm>
#include <doctest/doctest.h>

using namespace quaycell;
using namespace quaycell::testing;

TEST_CASE("events are marked above the plot by number, with their kind where it has room") {
    Trace trace = tide(6048, 100);
    trace.events = {{trace.time[1000], EventKind::shore_power_on, 75, "plugged in"},
                    {trace.time[1010], EventKind::step, 10, "close by"},
                    {trace.time[4000], EventKind::restart, missing_value, "restarted"}};
    const Scene scene = scene_of(trace);
    CHECK(has_text(scene, "1–2"));
    CHECK(has_text(scene, "3 restart"));
    CHECK(has_text(scene, "event, by its number"));
    CHECK_FALSE(has_text(scene_of(tide(6048, 100)), "event, by its number"));
}

TEST_CASE("a figure that stands alone tells what its numbers are, by the clocks of its zone") {
    Trace trace = tide(6048, 100);
    trace.potential_mv.assign(6048, -1000);
    for (std::size_t i = 3000; i < 3036; ++i)
        trace.potential_mv[i] = -901;
    trace.events = {{trace.time[36], EventKind::shore_power_on, 75, "plugged in"}};
    ChartOptions options;
    options.zone = Zone("Invented/Island", {{monday, std::chrono::hours{3}, "IIT"}});
    options.width_mm = 230;
    CHECK(group_titled(scene_of(trace, options), "Events and spells, by their numbers")
              .items.empty());
    options.with_key = true;
    const Scene scene = scene_of(trace, options);
    CHECK(has_text(scene, "2026-05-04 04:00:00 IIT shore-power-on, +75 mV"));
    CHECK(has_text(scene, "2026-05-07 14:20 IIT under-protected 1 h, −901 mV"));
    CHECK(has_text(scene, "S1"));
    CHECK(has_text(scene, "S1 under-protected"));
    CHECK(has_text(scene, "Time in Invented/Island: IIT, UTC+3"));
    check_texts(scene);
}

TEST_CASE("the uncertainty is a ribbon as high as it is wide, and is named") {
    Trace trace = tide(100, 60);
    trace.potential_mv.assign(100, -1000);
    ChartOptions options;
    options.expanded_uncertainty_mv = 20;
    const Scene scene = scene_of(trace, options);
    CHECK(has_text(scene, "each reading ± 20 mV (k = 2)"));
    const Group ribbon = group_titled(scene, "Uncertainty of a reading, k = 2");
    REQUIRE(ribbon.items.size() == 1);
    const auto& corners = std::get<Polygon>(ribbon.items[0]).corners;
    const auto [top, bottom] = std::ranges::minmax_element(corners, {}, &Point::y_mm);
    // The two limits are 150 mV apart, the ribbon's edges 40.
    const Group limits = group_titled(scene, "Limits");
    const double limits_mm = std::get<Lines>(limits.items[1]).lines[0][0].y_mm -
                             std::get<Lines>(limits.items[0]).lines[0][0].y_mm;
    CHECK(bottom->y_mm - top->y_mm == doctest::Approx(limits_mm * 40 / 150));
    CHECK(group_titled(scene_of(trace), "Uncertainty of a reading, k = 2").items.empty());
}

TEST_CASE("a single reading has its uncertainty as a bar") {
    ChartOptions options;
    options.expanded_uncertainty_mv = 20;
    const Group ribbon =
        group_titled(scene_of(tide(1, 1), options), "Uncertainty of a reading, k = 2");
    REQUIRE(ribbon.items.size() == 1);
    const auto& corners = std::get<Polygon>(ribbon.items[0]).corners;
    const auto [left, right] = std::ranges::minmax_element(corners, {}, &Point::x_mm);
    CHECK(right->x_mm - left->x_mm == doctest::Approx(0.8));
}

TEST_CASE("more negative is higher where that is asked for, bands and axis with it") {
    Trace trace = tide(2, 60);
    trace.potential_mv = {-900, -1000};
    ChartOptions options;
    options.more_negative_up = true;
    const Scene scene = scene_of(trace, options);
    const Group readings = group_titled(scene, "Readings");
    const auto& points = std::get<Lines>(readings.items[0]).lines[0];
    CHECK(points[0].y_mm > points[1].y_mm);
    CHECK(has_text(scene, "Hull potential, mV on agcl/seawater, more negative upward"));
    const Group limits = group_titled(scene, "Limits");
    CHECK(std::get<Lines>(limits.items[0]).lines[0][0].y_mm >
          std::get<Lines>(limits.items[1]).lines[0][0].y_mm);
    const auto y_of = [&scene](const char* name) {
        const std::vector<Text> texts = texts_of(group_titled(scene, "Names of the bands"));
        return std::ranges::find(texts, name, &Text::text)->at.y_mm;
    };
    CHECK(y_of("over-protected") < y_of("protected"));
    CHECK(y_of("protected") < y_of("under-protected"));
    check_texts(scene);
}

TEST_CASE("five minutes under protection in a year are a spell that is seen and numbered") {
    Trace trace = tide(525600, 60);
    trace.potential_mv.assign(525600, -1000);
    for (std::size_t i = 412345; i < 412350; ++i)
        trace.potential_mv[i] = -800;
    const Scene scene = scene_of(trace);
    const Group spells = group_titled(scene, "Spells, by their numbers");
    CHECK(has_text(scene, "S1 under-protected"));
    const double plot_left = 16;
    bool seen = false;
    for (const Item& item : spells.items)
        if (const Area* area = std::get_if<Area>(&item))
            if (area->colour.red == 213) {
                seen = true;
                CHECK(area->place.width_mm >= 0.25);
                CHECK(area->place.left_mm ==
                      doctest::Approx(plot_left + 113 * 412345.0 / 525600).epsilon(0.01));
            }
    CHECK(seen);
    check_texts(scene);
}

TEST_CASE("one reading under protection in a year is seen in the line") {
    Trace trace = tide(525600, 60);
    trace.potential_mv.assign(525600, -1000);
    trace.potential_mv[412345] = -800;
    const Scene scene = scene_of(trace);
    const Group readings = group_titled(scene, "Readings");
    double highest_mm = scene.height_mm;
    for (const auto& line : std::get<Lines>(readings.items[0]).lines)
        for (const Point& point : line)
            highest_mm = std::min(highest_mm, point.y_mm);
    CHECK(highest_mm < std::get<Lines>(group_titled(scene, "Limits").items[0]).lines[0][0].y_mm);
}

TEST_CASE("of very many events and spells none goes without its number, and texts stay apart") {
    Trace trace = tide(6048, 100);
    for (std::size_t i = 0; i < 6000; i += 10) {
        for (std::size_t k = i; k < i + 4; ++k) // more than five minutes
            trace.potential_mv[k] = -900;
        if (i % 100 == 0) trace.events.push_back({trace.time[i], EventKind::step, 20, "made up"});
    }
    for (const double width : {120.0, 180.0}) {
        ChartOptions options;
        options.width_mm = width;
        options.expanded_uncertainty_mv = 12;
        options.with_key = true;
        const Scene scene = scene_of(trace, options);
        check_texts(scene);
        CHECK(has_text(scene, "not listed: 20 smaller events"));
        CHECK(std::ranges::any_of(texts_of(scene), [](const Text& text) {
            return text.text.starts_with("not listed: ") &&
                   text.text.find(" shorter spells, ") != std::string::npos;
        }));
        CHECK(render_svg(scene).size() < 300000);
    }
}

TEST_CASE("of very many spells the longest are listed by the numbers they have in the picture") {
    Trace trace = tide(6000, 60);
    trace.potential_mv.assign(6000, -1000);
    for (std::size_t i = 0; i < 3000; i += 100) // 30 spells of ten minutes
        for (std::size_t k = i; k < i + 10; ++k)
            trace.potential_mv[k] = i == 2000 ? -1000 : -900;
    for (std::size_t k = 2000; k < 2007; ++k)
        trace.potential_mv[k] = -700; // shorter, but the worst
    for (std::size_t i = 5000; i < 5120; ++i)
        trace.potential_mv[i] = -901;
    ChartOptions options;
    options.with_key = true;
    const Scene scene = scene_of(trace, options);
    const Group key = group_titled(scene, "Events and spells, by their numbers");
    CHECK(has_text(scene, "2026-05-07 11:20 UTC under-protected 2 h, −901 mV"));
    const std::vector<Text> texts = texts_of(key);
    const auto has_number = [&texts](const char* number) {
        return std::ranges::find(texts, number, &Text::text) != texts.end();
    };
    CHECK(has_number("S31"));
    CHECK(has_number("S21"));
    CHECK(has_text(scene, "2026-05-05 09:20 UTC under-protected 7 min, −700 mV"));
    CHECK(has_text(scene, "not listed: 11 shorter spells, 1 h 50 min together"));
    check_texts(scene);
}

TEST_CASE("what happened before the first reading or after the last has no number, and is told") {
    Trace trace = tide(100, 60);
    trace.events = {{trace.time.front() - std::chrono::hours{1}, EventKind::clock_set, 0, "before"},
                    {trace.time[50], EventKind::restart, missing_value, "within"},
                    {trace.time.back() + std::chrono::hours{1}, EventKind::restart, 0, "after"}};
    ChartOptions options;
    options.with_key = true;
    const Scene scene = scene_of(trace, options);
    CHECK(has_text(scene, "1 restart"));
    CHECK(has_text(scene, "2026-05-04 00:50:00 UTC restart"));
    CHECK(has_text(scene, "not shown: 2 outside the readings"));
    trace.events.erase(trace.events.begin() + 1);
    CHECK_FALSE(has_text(scene_of(trace), "event, by its number"));
}

TEST_CASE("a change of the clocks is a line, and the key says so") {
    ChartOptions options;
    options.zone =
        Zone("Invented/Island", {{monday, std::chrono::hours{3}, "IIT"},
                                 {monday + std::chrono::hours{30}, std::chrono::hours{2}, "IST"}});
    CHECK(has_text(scene_of(tide(6048, 100), options), "clocks changed"));
    CHECK_FALSE(has_text(scene_of(tide(600, 100), options), "clocks changed"));
}

TEST_CASE("an uncertainty beyond all bands does not flatten the trace, and its ribbon is cut off") {
    ChartOptions options;
    options.expanded_uncertainty_mv = 2304.5;
    const Scene scene = scene_of(tide(600, 100), options);
    CHECK(has_text(scene, "each reading ± 2300 mV (k = 2)"));
    CHECK(scene.description.find("Median −1000 mV") != std::string::npos);
    const Group limits = group_titled(scene, "Limits");
    CHECK(std::get<Lines>(limits.items[1]).lines[0][0].y_mm -
              std::get<Lines>(limits.items[0]).lines[0][0].y_mm >
          5);
    check_texts(scene);
}
