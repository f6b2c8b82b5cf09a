#include "bench/sea/cell.h"

#include <doctest/doctest.h>

#include <cmath>

using namespace quaycell::bench;

TEST_CASE("the table covers fresh to salt and ice to bath") {
    CHECK(cell_salinity_psu().low == 0.05);
    CHECK(cell_salinity_psu().high == 42);
    CHECK(cell_temperature_c().low == 0);
    CHECK(cell_temperature_c().high == 40);
}

TEST_CASE("at its points the table's own values come back") {
    // Two lines of cell-potential.csv.
    CHECK(cell_potential_mv(0.05, 0) == doctest::Approx(405.8493).epsilon(1e-9));
    CHECK(cell_potential_mv(0.05, 10) == doctest::Approx(406.8639).epsilon(1e-9));
}

TEST_CASE("in standard sea water at 25 degC the cell is 249 mV above hydrogen") {
    CHECK(cell_potential_mv(35, 25) == doctest::Approx(249.1).epsilon(0.001));
}

TEST_CASE("between points it runs with the logarithm of salinity") {
    const double between = cell_potential_mv(std::sqrt(10.0 * 20.0), 15);
    CHECK(between == doctest::Approx((cell_potential_mv(10, 15) + cell_potential_mv(20, 15)) / 2));
    CHECK(cell_potential_mv(10, 12.5) ==
          doctest::Approx((cell_potential_mv(10, 10) + cell_potential_mv(10, 15)) / 2));
}

TEST_CASE("a cell in standard sea water reads the potential itself") {
    CHECK(reading_mv(-870, 35, 4) == doctest::Approx(-870));
}

TEST_CASE("a cell in brackish water reads more negative") {
    // Changes from S = 35 at 25 degC that an independent calculation gives: 29.3 mV at S = 10,
    // 45.5 mV at S = 5.
    CHECK(reading_mv(-870, 10, 25) == doctest::Approx(-899.3).epsilon(0.0001));
    CHECK(reading_mv(-870, 5, 25) == doctest::Approx(-915.5).epsilon(0.0001));
}
