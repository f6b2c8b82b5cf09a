#include "judging/size_grounds.h"

#include <algorithm>
#include <doctest/doctest.h>

using namespace quaycell;

namespace {

/// A bare fitting of 0.3 m2 and a plate, in the water of that name. Invented.
SizeOptions fitting(const char* hull, const char* alloy, const char* water) {
    SizeOptions options;
    options.boat.hull = hull;
    options.boat.water.kind = water;
    options.area_m2 = "0.3";
    options.flow = "still";
    options.years = 1;
    options.alloy = alloy;
    options.mass_kg = 1;
    options.length_m = 0.3;
    options.width_m = 0.15;
    options.shape = "flush";
    return options;
}

bool says(const std::vector<std::string>& texts, std::string_view word) {
    return std::ranges::any_of(
        texts, [word](const std::string& text) { return text.find(word) != std::string::npos; });
}

} // namespace

TEST_CASE("what is not typed comes from tables, and each says from where") {
    const auto grounds = sizing_grounds(fitting("steel", "zinc", "sea"));
    REQUIRE(grounds);
    CHECK(grounds->use.capacity_ah_kg.low == 780); // DNV-RP-B401
    CHECK(grounds->use.utilisation == 0.80);       // T8-8, a short flush one
    for (const char* source : {"capacity: ", "utilisation: ", "resistance: ", "resistivity: ",
                               "driving voltage: ", "current density: "})
        CHECK_MESSAGE(says(grounds->sources, source), source);
    CHECK(grounds->warnings.empty());
}

TEST_CASE("what is typed wins over the tables, as long as it can be") {
    SizeOptions typed = fitting("steel", "zinc", "sea");
    typed.capacity_ah_kg = "700-780";
    typed.utilisation = 0.7;
    typed.driving_mv = "200";
    typed.resistivity_ohm_m = "0.25";
    const auto grounds = sizing_grounds(typed);
    REQUIRE(grounds);
    CHECK(grounds->use.capacity_ah_kg.low == 700);
    CHECK(grounds->use.utilisation == 0.7);
    CHECK(grounds->use.driving_mv.high == 200);
    CHECK(grounds->use.resistivity_ohm_m.low == 0.25);
    typed.capacity_ah_kg = "5000"; // all of it dissolving gives 820
    CHECK(sizing_grounds(typed).error().code == ErrorCode::wrong_input);
}

TEST_CASE("magnesium on wood in the sea is computed only for who insists, with the warning") {
    SizeOptions options = fitting("wood", "magnesium", "sea");
    CHECK(sizing_grounds(options).error().code == ErrorCode::refused);
    options.insist = true;
    const auto grounds = sizing_grounds(options);
    REQUIRE(grounds);
    CHECK(says(grounds->warnings, "wood"));
}

TEST_CASE("what is computed for a wooden hull comes with the caution of too much") {
    CHECK(says(sizing_grounds(fitting("wood", "zinc", "sea"))->warnings, "as little anode as"));
    CHECK_FALSE(
        says(sizing_grounds(fitting("grp", "zinc", "sea"))->warnings, "as little anode as"));
}

TEST_CASE("current densities of sea water are told as such in other water, but for typed ones") {
    SizeOptions fresh = fitting("steel", "magnesium", "fresh");
    CHECK(says(sizing_grounds(fresh)->warnings, "in fresh water"));
    fresh.flow.clear();
    fresh.current_density_ma_m2 = "30";
    CHECK(sizing_grounds(fresh)->warnings.empty());
    CHECK(
        says(sizing_grounds(fitting("steel", "aluminium", "brackish"))->warnings, "twice as much"));
}

TEST_CASE(
    "an alloy that stops working there is warned of, and an unknown one lists those there are") {
    CHECK(says(sizing_grounds(fitting("steel", "zinc", "brackish"))->warnings, "films over"));
    CHECK(sizing_grounds(fitting("steel", "lead", "sea")).error().code == ErrorCode::wrong_usage);
    SizeOptions cube = fitting("steel", "zinc", "sea");
    cube.shape = "cube";
    CHECK(sizing_grounds(cube).error().remedy.find("stand-off") != std::string::npos);
}
