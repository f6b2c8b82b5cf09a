#include "chart/survey_chart.h"

#include "scene_text.h"

#include <doctest/doctest.h>

using namespace quaycell;
using namespace quaycell::testing;

TEST_CASE("points stand where they are on the hull, port up, each verdict with its shape") {
    const std::vector<SurveyedPoint> points{
        {"rudder stock", 0, HullSide::centre, -1000, Verdict::protected_},
        {"port shaft", 0.5, HullSide::port, -700, Verdict::under_protected},
        {"bow thruster", 1, HullSide::starboard, -1200, Verdict::over_protected}};
    const Scene scene = draw_survey("Tern (invented)", points, 108, fake_text_width);
    const Group group = group_titled(scene, "Points");
    // By hand: the hull is 100 by 28 mm from 4, 14.4; marks keep 6 mm from its ends and stand at
    // 0.72 of the half beam, which is 0.98 of 14 mm amidships and 0.207 near the bow. A mark is
    // 2.6 mm wide and given by its first corner.
    std::vector<std::string> marks;
    for (const Item& item : group.items)
        if (std::holds_alternative<Polygon>(item)) marks.push_back(to_text(Group{"", {item}}));
    REQUIRE(marks.size() == 3);
    CHECK(marks[0] == "\n  polygon of 8 at 9.3,27.1\n");
    CHECK(marks[1] == "\n  polygon of 3 at 54.0,17.2\n");
    CHECK(marks[2] == "\n  polygon of 3 at 98.0,31.8\n");
    for (const char* text :
         {"1 −1000", "2 −700", "3 −1200", "rudder stock, centre", "−700 mV, under-protected"}) {
        CAPTURE(text);
        CHECK(has_text(scene, text));
    }
    CHECK(scene.description.find("3: bow thruster, starboard, −1200 mV, over-protected.") !=
          std::string::npos);
}

TEST_CASE("a fitting that differs from the hull has a ring, no green, and words") {
    const std::vector<SurveyedPoint> points{
        {"main bus", 0.5, HullSide::centre, -900, Verdict::protected_},
        {"sea cock", 0.6, HullSide::port, -860, Verdict::protected_, true}};
    const Scene scene = draw_survey("Tern (invented)", points, 108, fake_text_width);
    std::vector<Colour> marks;
    std::size_t lines = 0;
    for (const Item& item : group_titled(scene, "Points").items) {
        if (const auto* mark = std::get_if<Polygon>(&item)) marks.push_back(mark->colour);
        lines += std::holds_alternative<Lines>(item) ? 1 : 0;
    }
    REQUIRE(marks.size() == 2);
    CHECK(marks[0].green > marks[0].red);
    CHECK(marks[1].green == marks[1].red); // grey
    CHECK(lines == 2);                     // the hull and one ring
    CHECK(has_text(scene, "−860 mV, protected; differs from the hull"));
    CHECK(scene.description.find("protected; differs from the hull.") != std::string::npos);
}

TEST_CASE("forty points with long names in one place are all numbered, and no texts touch") {
    std::vector<SurveyedPoint> points;
    for (int i = 0; i < 40; ++i)
        points.push_back({std::string(200, 'W'), 0.4 + 0.001 * i,
                          i % 2 == 0 ? HullSide::port : HullSide::starboard, -950,
                          Verdict::undecided});
    const Scene scene = draw_survey(std::string(300, 'T'), points, 120, fake_text_width);
    CHECK(has_text(scene, "1–39"));
    CHECK(has_text(scene, "2–40"));
    const std::vector<Text> texts = texts_of(scene);
    for (std::size_t i = 0; i < texts.size(); ++i) {
        CHECK(box_of(texts[i]).right_mm() <= 120);
        CHECK(box_of(texts[i]).bottom_mm() <= scene.height_mm);
        for (std::size_t j = i + 1; j < texts.size(); ++j)
            CHECK_FALSE(overlap(box_of(texts[i]), box_of(texts[j])));
    }
}

TEST_CASE("a survey of no points is an empty hull") {
    const Scene scene = draw_survey("Tern", {}, 100, fake_text_width);
    CHECK(group_titled(scene, "Points").items.size() == 1);
    CHECK(scene.height_mm > 40);
}
