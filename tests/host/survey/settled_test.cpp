#include "survey/settled.h"

#include <doctest/doctest.h>
#include <vector>

using namespace quaycell;

TEST_CASE("a point's reading is the median, which one jump does not move") {
    const std::vector odd{-870.0, -871.0, -500.0};
    CHECK(value_of(odd).potential_mv == -870);
    CHECK(value_of(odd).spread_mv == 371);
    const std::vector even{-870.0, -872.0};
    CHECK(value_of(even).potential_mv == -871);
    CHECK(value_of(std::vector{-1.0}).spread_mv == 0);
}

TEST_CASE("a reading has settled when ten lie within 2 mV, neither nine nor farther apart") {
    CHECK(is_settled({-870, 2.0}, 10));
    CHECK_FALSE(is_settled({-870, 2.0}, 9));
    CHECK_FALSE(is_settled({-870, 2.01}, 10));
    CHECK(settled_criterion() == "10 readings one after another within 2 mV");
}
