#include "chart/budget_chart.h"

#include "scene_text.h"

#include <doctest/doctest.h>

using namespace quaycell;
using namespace quaycell::testing;

namespace {

BudgetLine normal(const char* name, double mv) {
    return {name, mv, "mV", Distribution::normal, ErrorKind::systematic, 1, "made up"};
}

} // namespace

TEST_CASE("contributions stand by size, with their share of the sum of squares") {
    // By hand: the sum is 5 mV; shares are 16/25 and 9/25; 34 mm are left for the longest bar.
    const Scene scene =
        draw_budget({{normal("contact", 3), normal("cell", 4)}}, 100, fake_text_width);
    CHECK(to_text(scene.groups[0]).find("  area 38.0,2.0 34.0x3.0\n") != std::string::npos);
    CHECK(to_text(scene.groups[0]).find("  area 38.0,7.0 25.5x3.0\n") != std::string::npos);
    const std::vector<Text> texts = texts_of(scene);
    REQUIRE(texts.size() == 5);
    CHECK(texts[0].text == "cell");
    CHECK(texts[1].text == "4.00 mV, 64 %");
    CHECK(texts[2].text == "contact");
    CHECK(texts[3].text == "3.00 mV, 36 %");
    CHECK(texts[4].text == "All together: 5.00 mV; expanded, k = 2: 10 mV");
    CHECK(scene.description.find("contact: 3.00 mV, 36 %. ") != std::string::npos);
    CHECK(scene.height_mm == doctest::Approx(19));
}

TEST_CASE("long names are cut, nothing leaves the picture, and no contribution is no bar") {
    const std::string name(300, 'W');
    const Scene scene =
        draw_budget({{normal(name.c_str(), 3), normal("none at all", 0)}}, 100, fake_text_width);
    for (const Text& text : texts_of(scene)) {
        CAPTURE(text.text);
        CHECK(box_of(text).right_mm() <= 100);
    }
    CHECK(has_text(scene, "0.00 mV, 0 %"));
    CHECK(has_text(draw_budget({}, 100, fake_text_width),
                   "All together: 0.00 mV; expanded, k = 2: 0 mV"));
}
