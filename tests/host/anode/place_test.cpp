#include "anode/place.h"

#include <doctest/doctest.h>

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

TEST_CASE("an unknown place lists those there are") {
    CHECK(anode_place_named("rudder"));
    const auto none = anode_place_named("mast");
    REQUIRE_FALSE(none);
    CHECK(none.error().code == ErrorCode::wrong_usage);
    CHECK(none.error().remedy.find("trim-tab") != std::string::npos);
}
