#include "anode/place.h"

#include <doctest/doctest.h>
#include <string>

using namespace quaycell;

TEST_CASE(
    "the hull's cell sees nothing of the cooling water, and each place says what to look at") {
    for (const AnodePlace& place : all_anode_places()) {
        const bool inside = place.name == "engine" || place.name == "heat-exchanger";
        CHECK(place.seen_by_hull_cell != inside);
        CHECK_FALSE(place.limit.empty());
        CHECK_FALSE(place.look.empty());
        CHECK_FALSE(place.status.empty());
    }
}

TEST_CASE("a place is known by its words, however they are written") {
    const auto name = [](std::string_view words) {
        const auto place = anode_place_in(words);
        return place ? std::string(place->name) : std::string();
    };
    for (const char* words : {"heat exchanger", "Heat-Exchanger", "heat-exchanger 2"})
        CHECK(name(words) == "heat-exchanger");
    for (const char* words : {"engine", "main engine", "Port Engine", "engine, starboard"})
        CHECK(name(words) == "engine");
    for (const char* words : {"hull, port, amidships", "Hull port", "hull 3"})
        CHECK(name(words) == "hull");
    CHECK(name("port shaft") == "shaft");
    CHECK(name("propeller nut") == "propeller-nut");
    CHECK(name("Trim tab, port") == "trim-tab");
}

TEST_CASE("what names no place that is known is taken for none") {
    for (const char* words : {"engine-room bulkhead", "engine bed", "cooling", "keel", "shafting",
                              "port", "", "\xE9\x8C\xA8"})
        CHECK_FALSE(anode_place_in(words));
}

TEST_CASE("what may lie in the hull's water is all that is not in the engine") {
    for (const char* words : {"hull, port", "shaft", "keel", "engine bed"})
        CHECK(may_lie_in_hulls_water(words));
    for (const char* words : {"engine, starboard", "heat exchanger"})
        CHECK_FALSE(may_lie_in_hulls_water(words));
}

TEST_CASE("an unknown place lists those there are") {
    CHECK(anode_place_named("rudder"));
    const auto none = anode_place_named("mast");
    REQUIRE_FALSE(none);
    CHECK(none.error().code == ErrorCode::wrong_usage);
    CHECK(none.error().remedy.find("trim-tab") != std::string::npos);
}
