#include "protection/standard_potential.h"

#include "boats.h"

#include <doctest/doctest.h>
#include <limits>

using namespace quaycell;

namespace {

Water at_25_degc(double salinity_psu) {
    Water water = water_between(salinity_psu, salinity_psu);
    water.temperature_c = 25;
    return water;
}

} // namespace

TEST_CASE("A reading on agcl/seawater stays as it is") {
    CHECK(*standard_potential_mv(-870, Scale::agcl_seawater, at_25_degc(10)) == -870);
    CHECK_FALSE(standard_offset(Scale::agcl_seawater, at_25_degc(10))->note);
}

TEST_CASE("A bare element in diluted water reads too negative, and is corrected") {
    // +29.3 mV at salinity 10 and 25 degC, computed with an independent library.
    CHECK(*standard_potential_mv(-870, Scale::agcl_open, at_25_degc(10)) ==
          doctest::Approx(-840.7).epsilon(0.0001));
    CHECK_FALSE(standard_offset(Scale::agcl_open, at_25_degc(10))->note);
}

TEST_CASE("Of a copper sulphate cell the less negative of two conversions counts, and it says so") {
    // Computed 316 - 249.1 = 66.9 mV; the standards' rounded constants 320 - 250 = 70 mV.
    const auto offset = standard_offset(Scale::cse, at_25_degc(35));
    REQUIRE(offset);
    CHECK(offset->offset_mv == doctest::Approx(70));
    REQUIRE(offset->note);
    CHECK(*offset->note ==
          "converted from cse to agcl/seawater with +70.0 mV, the standards' rounded "
          "offset; the computed one, +66.9 mV, would read more negative, and the "
          "less negative counts: the stricter for protection");
    CHECK(*standard_potential_mv(-850, Scale::cse, at_25_degc(35)) == doctest::Approx(-780));
}

TEST_CASE("Of a saturated KCl cell the less negative conversion counts too") {
    // Computed 197 - 249.1 = -52.1 mV; rounded 200 - 250 = -50 mV.
    CHECK(*standard_potential_mv(-750, Scale::agcl_kcl_sat, at_25_degc(35)) ==
          doctest::Approx(-800));
}

TEST_CASE("No potential and no water give no answer") {
    const double nan = std::numeric_limits<double>::quiet_NaN();
    CHECK_FALSE(standard_potential_mv(nan, Scale::agcl_open, at_25_degc(35)));
    CHECK_FALSE(standard_potential_mv(-870, Scale::agcl_open, at_25_degc(0.01)));
    CHECK_FALSE(standard_potential_mv(-870, Scale::cse, at_25_degc(nan)));
}
