#include "electrode/scale.h"

#include <cmath>
#include <doctest/doctest.h>
#include <limits>

using namespace quaycell;

namespace {

Water water_of(double salinity_psu, double temperature_c) {
    Water water;
    water.temperature_c = temperature_c;
    water.salinity_psu = {salinity_psu, salinity_psu};
    return water;
}

} // namespace

TEST_CASE("A scale is found by its name in any case") {
    CHECK(*scale_named("AgCl/Seawater") == Scale::agcl_seawater);
    CHECK(*scale_named("SCE") == Scale::sce);
    CHECK_FALSE(scale_named("sce "));
}

TEST_CASE("-800 mV on agcl/seawater is -550.9 mV on she at 25 degC") {
    // Computed independently: the element stands at +249.1 mV in sea water of salinity 35.
    CHECK(*convert_mv(-800, Scale::agcl_seawater, Scale::she, water_of(35, 25)) ==
          doctest::Approx(-800 + 249.1).epsilon(1e-4));
}

TEST_CASE("With the constants of the standards it is -550 mV on she and -870 mV on cse") {
    const Water water = water_of(35, 25);
    CHECK(*convert_mv(-800, Scale::agcl_seawater, Scale::she, water, Constants::handbook) == -550);
    CHECK(*convert_mv(-800, Scale::agcl_seawater, Scale::cse, water, Constants::handbook) == -870);
    CHECK(*convert_mv(-800, Scale::agcl_seawater, Scale::agcl_kcl_sat, water,
                      Constants::handbook) == -750);
    CHECK(*convert_mv(-800, Scale::agcl_seawater, Scale::zinc, water, Constants::handbook) == 230);
}

TEST_CASE("The chloride correction is that of the published shifts at 25 degC") {
    // From salinity 35, computed with an independent library.
    const auto correction_mv = [](double salinity) {
        return *chloride_correction_mv(water_of(salinity, 25));
    };
    CHECK(correction_mv(35) == doctest::Approx(0));
    CHECK(correction_mv(10) == doctest::Approx(29.3).epsilon(0.002));
    CHECK(correction_mv(5) == doctest::Approx(45.5).epsilon(0.002));
    CHECK(correction_mv(2) == doctest::Approx(67.1).epsilon(0.002));
    CHECK(correction_mv(1) == doctest::Approx(83.8).epsilon(0.002));
    CHECK(correction_mv(0.5) == doctest::Approx(100.6).epsilon(0.002));
    CHECK(correction_mv(0.1) == doctest::Approx(140.6).epsilon(0.002));
}

TEST_CASE("In river water the chloride decides: diluted sea water would be 54 mV off") {
    Water river = water_of(0.12, 25); // 120 mg/L of salts, taken for sea salt
    const double as_salinity_mv = *chloride_correction_mv(river);
    river.chloride_mg_l = Range{8, 8};
    CHECK(*chloride_correction_mv(river) - as_salinity_mv == doctest::Approx(54).epsilon(0.03));
}

TEST_CASE("The isothermal slope of the element in sea water is -0.563 mV per kelvin at 25 degC") {
    const double slope = (*reference_vs_she_mv(Scale::agcl_seawater, water_of(35, 25.5)) -
                          *reference_vs_she_mv(Scale::agcl_seawater, water_of(35, 24.5)));
    CHECK(slope == doctest::Approx(-0.563).epsilon(0.002));
}

TEST_CASE("Slopes are those of the equations: the bare element's falls with the chloride") {
    // [mV/K] at 25 degC, computed independently.
    const auto slope = [](double salinity) {
        return *slope_mv_per_k(Scale::agcl_open, water_of(salinity, 25));
    };
    CHECK(slope(35) == doctest::Approx(-0.563).epsilon(0.002));
    CHECK(slope(10) == doctest::Approx(-0.453).epsilon(0.002));
    CHECK(slope(1) == doctest::Approx(-0.270).epsilon(0.002));
    CHECK(slope(0.1) == doctest::Approx(-0.083).epsilon(0.01));
    CHECK(*slope_mv_per_k(Scale::cse, water_of(35, 12)) == doctest::Approx(0.03));
    CHECK(slope_mv_per_k(Scale::agcl_open, water_of(35, -2)));
    CHECK(slope_mv_per_k(Scale::agcl_open, water_of(35, 40)));
    CHECK_FALSE(slope_mv_per_k(Scale::cse, water_of(35, 41)));
}

TEST_CASE(
    "A sulphate cell's thermal slope is the handbooks' 0.9 mV per kelvin, not its isothermal") {
    CHECK(*slope_mv_per_k(Scale::cse, water_of(35, 25)) + hydrogen_thermal_slope_mv_per_k ==
          doctest::Approx(0.9).epsilon(0.002));
    // Against SHE at the same temperature it hardly moves over 20 K.
    CHECK(*convert_mv(-850, Scale::cse, Scale::she, water_of(35, 5)) ==
          doctest::Approx(*convert_mv(-850, Scale::cse, Scale::she, water_of(35, 25)) - 0.6));
}

TEST_CASE("By the mean activity of sodium chloride the element in sea water stands at 247.5 mV") {
    const auto mean_mv = [](Scale scale, double temperature_c) {
        return *reference_vs_she_mv(scale, water_of(35, temperature_c), Constants::computed,
                                    ChlorideActivity::mean_sodium_chloride);
    };
    // Computed independently, printed with two decimals.
    CHECK(std::abs(mean_mv(Scale::agcl_seawater, 25) - 247.49) < 0.006);
    CHECK(std::abs(mean_mv(Scale::agcl_open, 0) - 260.12) < 0.006);
    CHECK(mean_mv(Scale::sce, 25) == *reference_vs_she_mv(Scale::sce, water_of(35, 25)));
}

TEST_CASE("The table's figure of the element is that of the equations") {
    for (const Scale scale : {Scale::agcl_open, Scale::agcl_seawater})
        CHECK(*reference_vs_she_mv(scale, water_of(35, 25)) ==
              doctest::Approx(facts_of(scale).at_25c_mv).epsilon(2e-5));
}

TEST_CASE("A calomel cell at 5 degC follows its published polynomial") {
    const double d = 5 - 25.0;
    const double published_mv =
        1000 * (0.2412 - 6.61e-4 * d - 1.75e-6 * d * d - 9.0e-10 * d * d * d);
    CHECK(*reference_vs_she_mv(Scale::sce, water_of(35, 5)) ==
          doctest::Approx(published_mv).epsilon(1e-4));
}

TEST_CASE("There and back between any two scales gives the potential again") {
    const Water water = water_of(12, 9);
    for (const Constants constants : {Constants::computed, Constants::handbook})
        for (const ScaleFacts& from : all_scales())
            for (const ScaleFacts& to : all_scales()) {
                INFO(from.name << " to " << to.name);
                const double there = *convert_mv(-870, from.scale, to.scale, water, constants);
                CHECK(*convert_mv(there, to.scale, from.scale, water, constants) ==
                      doctest::Approx(-870).epsilon(1e-12));
            }
}

TEST_CASE("A scale is found by its name, and an unknown one is refused with the known ones") {
    for (const ScaleFacts& facts : all_scales())
        CHECK(*scale_named(facts.name) == facts.scale);
    const auto error = scale_named("agcl").error();
    CHECK(error.code == ErrorCode::wrong_usage);
    CHECK(error.what == "there is no reference scale \"agcl\"");
    CHECK(error.remedy == "Use one of: she, agcl/open, agcl/seawater, agcl/kcl-0.1, agcl/kcl-1, "
                          "agcl/kcl-3, agcl/kcl-3.5, agcl/kcl-sat, sce, cse, zinc");
}

TEST_CASE("No conversion out of range or of what is not a number") {
    const double nan = std::numeric_limits<double>::quiet_NaN();
    CHECK_FALSE(convert_mv(nan, Scale::she, Scale::cse, water_of(35, 15)));
    CHECK_FALSE(convert_mv(-870, Scale::she, Scale::cse, water_of(35, nan)));
    CHECK_FALSE(convert_mv(-870, Scale::agcl_open, Scale::cse, water_of(nan, 15)));
    CHECK_FALSE(convert_mv(-870, Scale::agcl_open, Scale::cse, water_of(43, 15)));
    const auto cold =
        convert_mv(-870, Scale::she, Scale::cse, water_of(35, -5), Constants::handbook);
    CHECK(cold.error().code == ErrorCode::out_of_range);
    CHECK(cold.error().what == "water temperature -5 degC is outside -2 to 40 degC");
}
