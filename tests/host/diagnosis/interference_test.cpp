#include "diagnosis/interference.h"

#include <doctest/doctest.h>

using namespace quaycell;

TEST_CASE("the limits are those of EN 50162 table 1 at its check points") {
    // Transcribed: 20 mV below 15 ohm m, 1.5 mV per ohm m up to 200 ohm m, 300 mV above.
    CHECK(interference_limit_mv(14) == 20);
    CHECK(interference_limit_mv(15) == 22.5);
    CHECK(interference_limit_mv(200) == 300);
    CHECK(interference_limit_mv(201) == 300);
    CHECK(interference_limit_mv(0.2) == 20);
    CHECK(interference_limit_mv(1e6) == 300);
    CHECK(interference_limits().size() == 3);
}

TEST_CASE("of a water the strictest within its salinity counts") {
    Water sea;
    CHECK(interference_limit_mv(sea) == 20);
    Water river;
    river.salinity_psu = {0.1, 0.1};
    const double thin_mv = interference_limit_mv(river);
    CHECK(thin_mv > 60); // 0.1 PSU at 15 degC is some 50 to 60 ohm m
    CHECK(thin_mv < 100);
    river.salinity_psu = {0.1, 20};
    CHECK(interference_limit_mv(river) == 20);
}
