#include "chart/wear_chart.h"

#include "scene_text.h"

#include <doctest/doctest.h>

using namespace quaycell;
using namespace quaycell::testing;

namespace {

Instant on_day(int day) {
    return parse_instant("2026-05-01T12:00:00Z").value() + std::chrono::days{day};
}

AnodeWear wear() {
    return {"aluminium, port quarter",
            2,
            0.5,
            {{on_day(0), 2}, {on_day(50), 1.5}},
            {{on_day(50), 1.5}, {on_day(100), 1}},
            on_day(90),
            on_day(100),
            {}};
}

} // namespace

TEST_CASE("what is left falls to the line at half the mass") {
    // By hand: the plot spans 16 to 120 mm for 102 days, 16.6 to 63.6 mm for 2.16 to 0 kg.
    const Scene scene = draw_wear(wear(), 124, fake_text_width);
    CHECK(to_text(group_titled(scene, "Mass left")) == "Mass left\n"
                                                       "  area 108.8,16.6 10.2x47.0\n"
                                                       "  line 16.0,41.8 120.0,41.8\n"
                                                       "  text 17.0,41.0 half gone: renew it\n"
                                                       "  line 68.0,31.0 119.0,41.8\n"
                                                       "  line 17.0,20.1 68.0,31.0\n"
                                                       "  line 17.0,20.1\n"
                                                       "  line 68.0,31.0\n");
    CHECK(has_text(scene, "2 kg when new; half gone between 2026-07-30 and 2026-08-09"));
    CHECK(scene.description.find(" 2026-06-20: 1.5 kg.") != std::string::npos);
}

TEST_CASE("a line that begins above the new mass stays within the plot") {
    AnodeWear high = wear();
    high.expected.front() = {on_day(0), 2.4};
    const Scene scene = draw_wear(high, 124, fake_text_width);
    // By hand: the plot spans 16.6 to 63.6 mm for 2.592 to 0 kg.
    CHECK(to_text(group_titled(scene, "Mass left")).find("line 17.0,20.1 119.0,45.5") !=
          std::string::npos);
}

TEST_CASE("an anode that nobody weighed says so, and texts keep apart") {
    AnodeWear unknown{std::string(300, 'W'), 2, 0.5, {}, {}, {}, {}, {}};
    const Scene scene = draw_wear(unknown, 110, fake_text_width);
    CHECK(has_text(scene, "2 kg when new; when half of it will be gone is not known"));
    CHECK(has_text(scene, "Mass left, kg: never weighed"));
    for (const Scene& each : {scene, draw_wear(wear(), 100, fake_text_width)}) {
        const std::vector<Text> texts = texts_of(each);
        for (std::size_t i = 0; i < texts.size(); ++i) {
            CHECK(box_of(texts[i]).right_mm() <= each.width_mm);
            for (std::size_t j = i + 1; j < texts.size(); ++j) {
                CAPTURE(texts[i].text);
                CAPTURE(texts[j].text);
                CHECK_FALSE(overlap(box_of(texts[i]), box_of(texts[j])));
            }
        }
    }
}

TEST_CASE("an anode that is renewed earlier has its line higher") {
    // By hand: a quarter gone leaves 1.5 kg, at 16.6 + 47 (1 - 1.5 / 2.16).
    AnodeWear early = wear();
    early.renew_at_gone = 0.25;
    const Scene scene = draw_wear(early, 124, fake_text_width);
    CHECK(has_text(scene, "25 % gone: renew it"));
    CHECK(to_text(group_titled(scene, "Mass left")).find("line 16.0,31.0 120.0,31.0") !=
          std::string::npos);
}
