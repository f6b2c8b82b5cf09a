#include "calibration/second_temperature.h"

#include "samples.h"

#include <doctest/doctest.h>

using namespace quaycell;
using namespace quaycell::testing;

namespace {

wire::Calibration at_25_c() {
    Comparison comparison = compared();
    for (const auto& [kind, mv] :
         {std::pair{StepKind::fit_first, -1500.0}, std::pair{StepKind::fit_second, 300.0}})
        REQUIRE(comparison.take(CellInput::b, step_of(kind), sample_of(mv), {mv}));
    return comparison.calibration({"DMM 5.5", 0.27}, 1777874400);
}

/// At 5 degC the reference has drifted so that everything reads `ppm` more.
Sample cold(double mv, double ppm, double board_c = 5) {
    Sample sample = sample_of(mv);
    sample.code = (sample.code - zero_codes) * (1 + ppm * 1e-6) + zero_codes;
    sample.board_c = board_c;
    return sample;
}

} // namespace

TEST_CASE("what the gain check cannot see becomes a drift by the kelvin") {
    SecondTemperature second(circuit, at_25_c());
    // By hand, but for the gain that the record holds to 1 ppm: 200 ppm too much, 20 K colder, so
    // the gain has to grow by 10 ppm/K with warmth.
    const auto checks = second.take(CellInput::a, cold(-1100, 200), {-1100});
    REQUIRE(checks);
    CHECK((*checks)[0].value == doctest::Approx(10).epsilon(0.01));
    const wire::Calibration record = second.calibration();
    CHECK(record.a.gain_drift_ppb_per_k == doctest::Approx(10000).epsilon(0.01));
    CHECK(record.second_temperature_centi_c == 500);
    CHECK((record.flags & wire::calibration_two_temperatures) != 0);
    CHECK(wire::is_valid(record));
    // At 5 degC the logger shows what the multimeter did.
    const Sample sample = cold(-1100, 200);
    CHECK(Conversion({0, circuit, record})
              .potential_mv(CellInput::a, sample.code, sample.board_c, sample.converter) ==
          doctest::Approx(-1100).epsilon(1e-6));
}

TEST_CASE("a cell that was not measured again has no drift of the other") {
    SecondTemperature second(circuit, at_25_c());
    REQUIRE(second.take(CellInput::a, cold(-1100, 200), {-1100}));
    CHECK(second.calibration().b.gain_drift_ppb_per_k == wire::unmeasured_error);
    REQUIRE(second.take(CellInput::b, cold(-1100, -100), {-1100}));
    CHECK(second.calibration().b.gain_drift_ppb_per_k == doctest::Approx(-5000).epsilon(0.01));
}

TEST_CASE("a second comparison at the second temperature does not build on the first") {
    SecondTemperature second(circuit, at_25_c());
    REQUIRE(second.take(CellInput::a, cold(-1100, 200), {-1100}));
    SecondTemperature third(circuit, second.calibration());
    REQUIRE(third.take(CellInput::a, cold(-1100, 200), {-1100}));
    CHECK(third.calibration().a.gain_drift_ppb_per_k ==
          second.calibration().a.gain_drift_ppb_per_k);
}

TEST_CASE("temperatures too close together are refused") {
    SecondTemperature second(circuit, at_25_c());
    CHECK_FALSE(second.take(CellInput::a, cold(-1100, 0, 10.5), {-1100}));
    CHECK_FALSE(second.take(CellInput::a, cold(-1100, 0, 39.5), {-1100}));
    CHECK(second.take(CellInput::a, cold(-1100, 0, 9.5), {-1100}));
    CHECK(second.take(CellInput::a, cold(-1100, 0, 40.5), {-1100}));
}

TEST_CASE("a drift that no such part has is refused and not taken over") {
    SecondTemperature second(circuit, at_25_c());
    const auto checks = second.take(CellInput::a, cold(-1100, 700), {-1100}); // 35 ppm/K
    REQUIRE(checks);
    CHECK_FALSE(all_accepted(*checks));
    CHECK((second.calibration().flags & wire::calibration_two_temperatures) == 0);
    CHECK(second.calibration().a.gain_drift_ppb_per_k == wire::unmeasured_error);
}

TEST_CASE("a cell that was not compared at the first temperature cannot gain a drift") {
    SecondTemperature second(circuit, compared().calibration({"DMM 5.5", 0.27}, 1777874400));
    const auto checks = second.take(CellInput::b, cold(-1100, 0), {-1100});
    REQUIRE_FALSE(checks);
    CHECK(checks.error().what == "cell B was not compared at the first temperature");
}

TEST_CASE("swapped leads are found at the second temperature, too") {
    SecondTemperature second(circuit, at_25_c());
    CHECK_FALSE(second.take(CellInput::a, cold(1100, 0), {-1100}));
    CHECK_FALSE(second.take(CellInput::a, cold(-1100, 0), {1100}));
}
