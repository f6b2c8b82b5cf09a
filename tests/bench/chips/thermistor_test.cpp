#include "bench/chips/thermistor.h"

#include <doctest/doctest.h>

using namespace quaycell::bench;

TEST_CASE("the thermistor follows the beta equation") {
    CHECK(thermistor_ohm(25) == doctest::Approx(10000));
    // 3950 (1/273.15 - 1/298.15) = 1.21255; e to that is 3.3621.
    CHECK(thermistor_ohm(0) == doctest::Approx(33621).epsilon(1e-4));
}

TEST_CASE("half the supply at 25 degC, more in the cold") {
    CHECK(thermistor_mv(25) == doctest::Approx(1650));
    CHECK(thermistor_mv(0) == doctest::Approx(2543.5).epsilon(1e-4)); // 3300 * 33621 / 43621
}
