#include "electrode/salinity.h"

#include <doctest/doctest.h>
#include <limits>

using namespace quaycell;

TEST_CASE("Salinity comes back from the conductivity it has, at every temperature") {
    for (const double t : {-2.0, 0.0, 15.0, 40.0})
        for (const double salinity : {0.05, 0.5, 1.999, 2.0, 2.001, 10.0, 35.0, 42.0}) {
            INFO(salinity << " PSU at " << t << " degC");
            // At the very ends of the scale the last digit may fall outside of it.
            const double conductivity = *conductivity_from_salinity(salinity, t);
            CHECK(practical_salinity(conductivity / standard_conductivity_ms_cm, t, 0) ==
                  doctest::Approx(salinity).epsilon(1e-11));
        }
}

TEST_CASE("The extension to low salinity meets the scale at 2 PSU without a step") {
    for (const double t : {0.0, 15.0, 30.0}) {
        const double ratio = *conductivity_from_salinity(2, t) / standard_conductivity_ms_cm;
        CHECK(practical_salinity(ratio * (1 - 1e-9), t, 0) ==
              doctest::Approx(practical_salinity(ratio * (1 + 1e-9), t, 0)).epsilon(1e-7));
    }
}

TEST_CASE(
    "A hand meter's conductivity at 25 degC gives the salinity that the TEOS-10 library gives") {
    CHECK(*salinity_from_conductivity_25(53.0710) == doctest::Approx(35).epsilon(1e-5));
    CHECK(*salinity_from_conductivity_25(1.9689) == doctest::Approx(1).epsilon(1e-4));
}

TEST_CASE("Resistivity gives the salinity that its conductivity gives") {
    // conductivity-gsw.csv: 19.0 ohm cm is salinity 35 at 25 degC, 263 ohm cm is 2 PSU.
    CHECK(*salinity_from_resistivity(0.188427, 25) == doctest::Approx(35).epsilon(1e-5));
    CHECK(*salinity_from_resistivity(2.63387, 25) == doctest::Approx(2).epsilon(1e-4));
    for (const double salinity : {0.06, 1.0, 12.0, 41.9})
        CHECK(*salinity_from_resistivity(*resistivity_ohm_m(salinity, 8), 8) ==
              doctest::Approx(salinity).epsilon(1e-11));
}

TEST_CASE("A resistivity in ohm cm is refused with the unit it wants") {
    const auto error = salinity_from_resistivity(20000, 15).error();
    CHECK(error.code == ErrorCode::out_of_range);
    CHECK(error.what ==
          "resistivity 20000 ohm m at 15 degC belongs to no salinity of 0.05 to 42 PSU");
    CHECK(error.remedy == "Give the resistivity in ohm m (1 ohm m = 100 ohm cm)");
    const double infinite = std::numeric_limits<double>::infinity();
    for (const double bad : {0.0, -0.2, infinite, std::numeric_limits<double>::quiet_NaN()})
        CHECK_FALSE(salinity_from_resistivity(bad, 15));
    CHECK_FALSE(salinity_from_resistivity(0.2, infinite));
}

TEST_CASE("A conductivity given in the wrong unit is refused with the remedy") {
    const auto error = salinity_from_conductivity(42900, 15).error();
    CHECK(error.code == ErrorCode::out_of_range);
    CHECK(error.what ==
          "conductivity 42900 mS/cm at 15 degC belongs to no salinity of 0.05 to 42 PSU");
    CHECK(error.remedy == "Give the conductivity in mS/cm (1 mS/cm = 1000 uS/cm)");
}

TEST_CASE("No conductivity, no temperature, no salinity: no answer") {
    const double nan = std::numeric_limits<double>::quiet_NaN();
    CHECK_FALSE(salinity_from_conductivity(nan, 15));
    CHECK_FALSE(salinity_from_conductivity(0, 15));
    CHECK_FALSE(salinity_from_conductivity(-1, 15));
    CHECK_FALSE(salinity_from_conductivity(40, nan));
    CHECK_FALSE(salinity_from_conductivity(40, 41));
    CHECK_FALSE(conductivity_from_salinity(nan, 15));
    CHECK_FALSE(conductivity_from_salinity(35, -3));
    CHECK_FALSE(resistivity_ohm_m(43, 15));
}
