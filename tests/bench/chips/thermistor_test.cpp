#include "bench/chips/thermistor.h"

#include <doctest/doctest.h>

using namespace quaycell::bench;

TEST_CASE("the thermistor has the resistances of its data sheet's table (from memory)") {
    struct {
        double celsius, ohm;
    } const rows[] = {{0, 32554}, {10, 19872}, {20, 12488}, {25, 10000}, {30, 8059}, {40, 5330}};
    for (const auto& row : rows)
        CHECK(thermistor_ohm(row.celsius) == doctest::Approx(row.ohm).epsilon(0.001));
}

TEST_CASE("half the supply at 25 degC, more in the cold") {
    CHECK(thermistor_mv(25) == doctest::Approx(1650).epsilon(1e-4));
    CHECK(thermistor_mv(0) == doctest::Approx(2524.5).epsilon(0.001)); // 3300 * 32554 / 42554
}
