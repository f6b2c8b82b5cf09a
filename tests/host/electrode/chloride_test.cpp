#include "electrode/chloride.h"

#include "electrode/limits.h"

#include <cmath>
#include <doctest/doctest.h>
#include <limits>

using namespace quaycell;

TEST_CASE("Chloride and ionic strength grow with salinity") {
    double before = 0;
    for (const double salinity : {0.05, 0.5, 1.0, 5.0, 20.0, 35.0, 42.0}) {
        const Chloride chloride = *chloride_of_salinity(salinity);
        CHECK(chloride.molality > before);
        CHECK(chloride.ionic_strength > chloride.molality);
        before = chloride.molality;
    }
}

TEST_CASE("Salinity outside the scale is refused with value and range") {
    for (const double salinity : {0.0, 0.049, 42.1, -1.0}) {
        const auto chloride = chloride_of_salinity(salinity);
        REQUIRE_FALSE(chloride);
        CHECK(chloride.error().code == ErrorCode::out_of_range);
    }
    CHECK(chloride_of_salinity(50).error().what == "salinity 50 PSU is outside 0.05 to 42 PSU");
}

TEST_CASE("A salinity or chloride that is not a number is refused") {
    const double nan = std::numeric_limits<double>::quiet_NaN();
    CHECK_FALSE(chloride_of_salinity(nan));
    CHECK_FALSE(chloride_of_concentration(nan));
    CHECK_FALSE(chloride_of_concentration(std::numeric_limits<double>::infinity()));
}

TEST_CASE(
    "Chloride given as such is that of fresh water: mg/L over 35453 and the kilograms per litre") {
    CHECK(chloride_of_concentration(8)->molality ==
          doctest::Approx(8 / 35453.0 / 0.997).epsilon(1e-4));
}

TEST_CASE("Chloride of sea water agrees with chlorinity") {
    // Chlorinity 19.374 g/kg at salinity 35 (S = 1.80655 Cl), silver-equivalent; density 1.02334
    // kg/L.
    const double chloride_mg_l = 19.374 * 0.99889 * 1.02334 * 1000;
    const Chloride chloride = *chloride_of_concentration(chloride_mg_l);
    CHECK(chloride.molality == doctest::Approx(0.5657647).epsilon(5e-4));
    CHECK(salinity_of(chloride) == doctest::Approx(35).epsilon(5e-4));
}

TEST_CASE("Salinity comes back from its chloride") {
    for (const double salinity : {0.05, 0.5, 5.0, 35.0, 42.0})
        CHECK(salinity_of(*chloride_of_salinity(salinity)) ==
              doctest::Approx(salinity).epsilon(1e-12));
}

TEST_CASE(
    "All chloride in its limits has a salinity in its limits, and reaches nearly to their end") {
    const double saltiest_psu = salinity_of(*chloride_of_concentration(chloride_limits.high));
    CHECK(saltiest_psu <= salinity_limits.high);
    CHECK(saltiest_psu > salinity_limits.high - 0.05);
    CHECK(salinity_of(*chloride_of_concentration(chloride_limits.low)) == salinity_limits.low);
}

TEST_CASE("Chloride decides where it is given, whatever the salinity says") {
    Water water;
    water.salinity_psu = {35, 35};
    water.chloride_mg_l = Range{8, 8};
    CHECK(chloride_of(water)->molality == chloride_of_concentration(8)->molality);
    CHECK(salinity_range_of(water)->high < 1);
}

TEST_CASE("Water is refused when an end of its range is out or the ends are swapped") {
    Water water;
    water.salinity_psu = {0, 10};
    CHECK_FALSE(check_water(water));
    water.salinity_psu = {20, 10};
    CHECK(check_water(water).error().what == "the salinity runs backwards, from 20 to 10 PSU");
    water.salinity_psu = {10, 20};
    CHECK(check_water(water));
    water.temperature_c = 41;
    CHECK(check_water(water).error().what == "water temperature 41 degC is outside -2 to 40 degC");
}
