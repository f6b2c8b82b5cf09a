#include "diagnosis/next_to_nothing.h"

#include <doctest/doctest.h>

using namespace quaycell;

TEST_CASE("a potential next to nothing is suspected, on either side of it") {
    for (const double mv : {0.0, 5.0, -5.0}) {
        const auto why = next_to_nothing(mv, Scale::agcl_open);
        REQUIRE(why);
        CHECK(why->find("open lead") != std::string::npos);
        CHECK(why->find("not in the water") != std::string::npos);
    }
    CHECK_FALSE(next_to_nothing(-5.1, Scale::agcl_open));
    CHECK_FALSE(next_to_nothing(-870, Scale::cse));
}

TEST_CASE("against zinc a hull with zinc anodes reads next to nothing by right") {
    CHECK_FALSE(next_to_nothing(2, Scale::zinc));
}
