#include "chart/trace_chart.h"

#include "chart/render_svg.h"
#include "made_scenes.h"

#include <doctest/doctest.h>

using namespace quaycell;
using namespace quaycell::testing;

TEST_CASE("a chart says what it shows: title, scale, zone, bands with limits and source, shares") {
    const Scene scene = scene_of(tide(6048, 100));
    for (const char* text :
         {"Hull potential", "Tern, berth 14 (invented)", "Hull potential, mV on agcl/seawater",
          "Time, UTC", "under-protected", "less negative than −950 mV", "protected",
          "−950 to −1100 mV", "over-protected", "more negative than −1100 mV", "4 May", "2026",
          "−1000"}) {
        CAPTURE(text);
        CHECK(has_text(scene, text));
    }
    CHECK(scene.description.find("6048 readings from 2026-05-04T00:00:00Z") == 0);
    CHECK(scene.description.find("Band protected: −950 to −1100 mV.") != std::string::npos);
}

TEST_CASE("four readings, two of them across a gap, drawn by hand") {
    // 120 by 90 mm: the plot spans 16 to 84 mm across. Readings at 0, 60, 120 and 600 s; the median
    // spacing is 60 s, so that the silence from 180 to 600 s is a gap.
    Trace trace;
    for (const int s : {0, 60, 120, 600})
        trace.time.push_back(monday + std::chrono::seconds{s});
    trace.potential_mv = {-1000, -900, -1000, -1200};
    ChartOptions options;
    options.width_mm = 120;
    options.height_mm = 100;
    const Scene scene = scene_of(trace, options);
    // By hand: the heading ends at 15.7 mm and the plot begins 14.6 mm below it, at 30.3; above the
    // share strip of 26.6 mm (four rows) and the axis of 14.4 mm it ends at 55.0. So 600 s are 68
    // mm across, and -1236 to -864 mV (12 % more than the readings) are 24.7 mm upward.
    CHECK(to_text(group_titled(scene, "Readings")) == "Readings\n"
                                                      "  line 16.0,39.3 22.8,32.7 29.6,39.3\n"
                                                      "  line 16.0,39.3\n"
                                                      "  line 22.8,32.7\n"
                                                      "  line 29.6,39.3\n"
                                                      "  line 84.0,52.6\n");
    CHECK(to_text(group_titled(scene, "Gaps: no reading")) == "Gaps: no reading\n"
                                                              "  area 36.4,30.3 47.6x24.7\n"
                                                              "  area 36.4,30.3 47.6x24.7\n"
                                                              "  text 60.2,53.5 no reading\n");
    CHECK(to_text(group_titled(scene, "Limits")) == "Limits\n"
                                                    "  line 16.0,36.0 84.0,36.0\n"
                                                    "  line 16.0,46.0 84.0,46.0\n");
}

TEST_CASE("more negative is lower in the picture") {
    Trace trace = tide(2, 60);
    trace.potential_mv = {-900, -1000};
    const Group readings = group_titled(scene_of(trace), "Readings");
    const auto& points = std::get<Lines>(readings.items[0]).lines[0];
    CHECK(points[0].y_mm < points[1].y_mm);
}

TEST_CASE("the share strip gives words and percent, and names the gaps") {
    Trace trace = tide(10, 60);
    trace.potential_mv.assign(10, -1000);
    trace.potential_mv[3] = -900;
    for (std::size_t i = 5; i < 10; ++i)
        trace.time[i] += std::chrono::hours{2};
    const Scene scene = scene_of(trace);
    CHECK(has_text(scene, "Overall: under-protected. Share of the 10 min covered:"));
    CHECK(has_text(scene, "under-protected 10.0 %"));
    CHECK(has_text(scene, "protected 90.0 %"));
    CHECK(has_text(scene, "no reading for 2 h in 1 gap, not counted"));
    CHECK(has_text(scene, "no reading")); // in the gap itself, which is wide enough
}

TEST_CASE("a share too small to print is not printed as nothing, nor as all") {
    Trace trace = tide(10000, 10, -1000);
    trace.potential_mv.assign(10000, -1000);
    trace.potential_mv[17] = -900;
    const Scene scene = scene_of(trace);
    CHECK(has_text(scene, "under-protected <0.1 %"));
    CHECK(has_text(scene, "protected >99.9 %"));
}

TEST_CASE("with an uncertainty the undecided zones are shown and named once") {
    ChartOptions options;
    options.expanded_uncertainty_mv = 22;
    const Scene scene = scene_of(tide(600, 100), options);
    const std::vector<Text> texts = texts_of(scene);
    CHECK(std::count_if(texts.begin(), texts.end(),
                        [](const Text& text) { return text.text == "undecided"; }) == 1);
    CHECK(has_text(scene, "within 22 mV (k = 2) of a"));
}

TEST_CASE("readings taken by hand are marked one by one, a recording is not") {
    const auto marks = [](const Scene& scene) {
        return std::get<Lines>(group_titled(scene, "Readings").items[1]).lines.size();
    };
    CHECK(marks(scene_of(tide(4, 300))) == 4);
    CHECK(marks(scene_of(tide(60, 300))) == 60);
    CHECK(marks(scene_of(tide(61, 300))) == 0);
}

TEST_CASE("texts never overlap and never leave the picture") {
    for (const double width : {120.0, 180.0, 260.0}) {
        for (const double height : {100.0, 126.0, 200.0}) {
            for (const double interval_s : {0.01, 1.0, 77.0, 3600.0, 86400.0}) {
                for (const double middle_mv : {-500.0, -960.0, -1090.0, -1400.0}) {
                    CAPTURE(width);
                    CAPTURE(height);
                    CAPTURE(interval_s);
                    CAPTURE(middle_mv);
                    ChartOptions options;
                    options.width_mm = width;
                    options.height_mm = height;
                    options.expanded_uncertainty_mv = 22;
                    Trace trace = tide(700, interval_s, middle_mv);
                    trace.time.erase(trace.time.begin() + 300, trace.time.begin() + 500);
                    trace.potential_mv.erase(trace.potential_mv.begin() + 300,
                                             trace.potential_mv.begin() + 500);
                    trace.events = {{trace.time[10], EventKind::restart, missing_value, ""},
                                    {trace.time[12], EventKind::clock_set, missing_value, ""}};
                    options.with_key = interval_s > 100;
                    check_texts(scene_of(trace, options));
                }
            }
        }
    }
}

TEST_CASE("a wooden hull's narrow band, an empty trace and a single reading have their pictures") {
    Rules wood = aluminium();
    wood.rules[0].band = {-550, -600};
    check_texts(scene_of(tide(600, 100, -900), {}, wood));

    const Scene empty = scene_of(Trace{});
    CHECK(has_text(empty, "No reading on agcl/seawater."));
    CHECK(has_text(empty, "Overall: no-verdict"));
    check_texts(empty);

    const Scene one = scene_of(tide(1, 1));
    const Scene two = scene_of(tide(2, 3600));
    CHECK(has_text(two, "Two readings: −968 and −980 mV."));
    CHECK(has_text(two, "Overall: protected. Share of the 2 readings:"));
    CHECK(two.description.find("Share of the readings: protected 100 %") != std::string::npos);
    check_texts(two);

    CHECK(has_text(one, "One reading: −980 mV."));
    CHECK(std::get<Lines>(group_titled(one, "Readings").items[1]).lines.size() == 1);
    check_texts(one);
}

TEST_CASE("a trace of nothing but missing values is drawn as none") {
    Trace trace = tide(10, 10);
    trace.potential_mv.assign(10, missing_value);
    const Scene scene = scene_of(trace);
    CHECK(has_text(scene, "no-verdict 100 %"));
    CHECK(std::get<Lines>(group_titled(scene, "Readings").items[0]).lines.empty());
    check_texts(scene);
}

TEST_CASE("rules that cannot judge are shown with their reason, not with bands") {
    Rules rules = aluminium();
    rules.no_verdict = "no published criterion for this water";
    const Scene scene = scene_of(tide(600, 100), {}, rules);
    CHECK(has_text(scene, "no-verdict"));
    CHECK_FALSE(has_text(scene, "−950 to −1100 mV"));
    check_texts(scene);
}

TEST_CASE("a long name leaves place and period whole") {
    const Trace trace = tide(100, 10);
    const Scene scene = draw_trace(
        trace, judged_as_it_is(trace, aluminium()), bands_of(aluminium()),
        {"Hull potential", std::string(500, 'W'), "Invented Quay", "4 to 10 May 2026", {}}, {},
        fake_text_width);
    CHECK(has_text(scene, "Invented Quay"));
    CHECK(has_text(scene, "4 to 10 May 2026"));
    check_texts(scene);
}

TEST_CASE("long names are cut, and a size that nobody can read is not drawn") {
    const Trace trace = tide(100, 10);
    const JudgedTrace judged = judged_as_it_is(trace, aluminium());
    ChartOptions options;
    options.width_mm = 1;
    options.height_mm = 1;
    const Scene scene = draw_trace(trace, judged, bands_of(aluminium()),
                                   {std::string(5000, 'W'),
                                    std::string(5000, 'x'),
                                    std::string(5000, 'z'),
                                    std::string(5000, 'p'),
                                    {std::string(3000, 'y')}},
                                   options, fake_text_width);
    CHECK(scene.width_mm == 120);
    check_texts(scene);
}

TEST_CASE("a million readings with an extreme and gaps are a picture below 300 KB") {
    Trace trace = tide(1000000, 10);
    for (std::size_t i = 0; i < trace.potential_mv.size(); i += 7)
        trace.potential_mv[i] += static_cast<double>(i % 61);
    for (std::size_t i = 0; i < trace.time.size(); ++i) // a minute's silence every 1000 readings
        trace.time[i] += std::chrono::minutes{static_cast<int>(i / 1000)};
    trace.potential_mv[612345] = -1301;
    const Scene scene = scene_of(trace);
    CHECK(render_svg(scene).size() < 300000);
    CHECK(scene.description.find("and −1301 mV.") != std::string::npos);
    const Group limits = group_titled(scene, "Limits");
    const Group readings = group_titled(scene, "Readings");
    double lowest_mm = 0;
    for (const auto& line : std::get<Lines>(readings.items[0]).lines)
        for (const Point& point : line)
            lowest_mm = std::max(lowest_mm, point.y_mm);
    // The extreme lies well below the limit of over-protection, everything else above it.
    CHECK(lowest_mm > std::get<Lines>(limits.items.back()).lines[0][0].y_mm + 10);
}
