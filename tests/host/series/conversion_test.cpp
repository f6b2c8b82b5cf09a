#include "series/conversion.h"

#include "records.h"

#include <cmath>
#include <doctest/doctest.h>

using namespace quaycell;
using namespace quaycell::testing;

namespace {

wire::Calibration calibration() {
    wire::Calibration found{};
    found.reference_code_x16 = 16384 * 16;
    found.a.gain_ppm = 1000;
    found.a.offset_uv = 500;
    found.flags = wire::calibration_valid;
    return found;
}

} // namespace

TEST_CASE("a code is 62.5 uV, and a positive code is a negative hull") {
    const Conversion conversion({1, circuit, {}});
    CHECK(conversion.cell_a_mv(reading(0, 0, 13920), {}) == doctest::Approx(-870).epsilon(1e-9));
    CHECK(conversion.cell_a_mv(reading(0, 0, -16), {}) == doctest::Approx(1).epsilon(1e-9));
}

TEST_CASE("the converter's zero is taken off the code") {
    const Conversion conversion({1, circuit, {}});
    const auto state = state_of(check(0, 0, 32, 65536 + 32, 4)); // zero 8 codes, 0.5 mV
    REQUIRE(state);
    CHECK(state->zero == 8);
    CHECK(*state->reference == 16384);
    CHECK(conversion.cell_a_mv(reading(0, 0, 13928), *state) == doctest::Approx(-870));
    CHECK_FALSE(state_of(check(0, 0, 0, 0, 0)));
}

TEST_CASE("calibration applies gain, drift of the reference and offset") {
    const Conversion conversion({1, circuit, calibration()});
    // -870 mV * 1.001 + 0.5 mV
    CHECK(conversion.cell_a_mv(reading(0, 0, 13920), {}) == doctest::Approx(-870.37));
    // The converter reads its reference 1 % higher than at the calibration, so everything else too.
    const ConverterState drifted{0, 16384 * 1.01};
    CHECK(conversion.cell_a_mv(reading(0, 0, 13920), drifted) ==
          doctest::Approx(-870.0 / 1.01 * 1.001 + 0.5));
    CHECK(conversion.quality(reading(0, 0, 0)) == Quality::good);
}

TEST_CASE("a calibration that is not valid counts as none") {
    wire::Calibration none = calibration();
    none.flags = 0;
    const Conversion conversion({1, circuit, none});
    CHECK(conversion.cell_a_mv(reading(0, 0, 13920), {}) == doctest::Approx(-870));
    CHECK(conversion.quality(reading(0, 0, 0)) == Quality::uncalibrated);
}

TEST_CASE("what was not measured is missing, not zero") {
    const Conversion conversion({1, circuit, {}});
    const wire::Reading nothing = reading(0, 0, wire::missing_code);
    CHECK(std::isnan(conversion.cell_a_mv(nothing, {})));
    CHECK(std::isnan(conversion.cell_b_mv(nothing, {})));
    CHECK(std::isnan(conversion.temperature_c(nothing)));
    CHECK(std::isnan(conversion.battery_mv(nothing)));
}

TEST_CASE("the thermistor follows its maker's table of resistances") {
    const Conversion conversion({1, circuit, {}});
    // 10 kohm at 25 degC, beta 3977 K; the data sheet's table, from memory.
    struct {
        double ohm;
        double celsius;
    } const rows[] = {{32554, 0}, {19872, 10}, {12488, 20}, {10000, 25}, {8059, 30}, {5330, 40}};
    for (const auto& row : rows) {
        wire::Reading water = reading(0, 0, 0);
        water.water = static_cast<std::uint16_t>(std::lround(16384 * row.ohm / (row.ohm + 10000)));
        CHECK(std::abs(conversion.temperature_c(water) - row.celsius) < 0.02);
    }
}

TEST_CASE("AC is read at the cell, less its floor, and corrected for the source's resistance") {
    const Conversion conversion({1, circuit, {}});
    const auto ac_mv = [&](double steps_rms, double source_ohm) {
        wire::Reading record = reading(0, 0, 0);
        record.ac_a = static_cast<std::uint16_t>(std::lround(100 * steps_rms));
        return conversion.ac_mv(record, source_ohm);
    };
    // 1 V rms at the cell, times 0.287, in steps of 3300 mV / 1024.
    const double steps = 1000 * 0.287 * 1024 / 3300;
    CHECK(ac_mv(steps, missing_value) == doctest::Approx(1000).epsilon(0.001));
    // Simulated: a source of 10 kohm reads 2.8 % less, one of 100 kohm 24 % less.
    CHECK(ac_mv(0.972 * steps, 10e3) == doctest::Approx(1000).epsilon(0.005));
    CHECK(ac_mv(0.76 * steps, 100e3) == doctest::Approx(1000).epsilon(0.015));
    // 3.6 mV at the cell is what is read without any.
    CHECK(ac_mv(3.6 / 1000 * steps, missing_value) < 0.2);
    CHECK(ac_mv(0, missing_value) == 0);
    CHECK(std::isnan(conversion.ac_mv(reading(0, 0, 0), 0)));
}

TEST_CASE("an open or shorted thermistor gives no temperature") {
    const Conversion conversion({1, circuit, {}});
    for (const int sum : {0, 16, 16368, 16384}) {
        wire::Reading water = reading(0, 0, 0);
        water.water = static_cast<std::uint16_t>(sum);
        CHECK(std::isnan(conversion.temperature_c(water)));
    }
}

TEST_CASE("the battery is read on its divider") {
    const Conversion conversion({1, circuit, {}});
    wire::Reading record = reading(0, 0, 0);
    record.battery = 8192;
    CHECK(conversion.battery_mv(record) == doctest::Approx(3300));
}

TEST_CASE("the logger's own flags become words") {
    const Conversion conversion({1, circuit, calibration()});
    wire::Reading record = reading(0, 0, 0);
    record.flags = wire::flag_saturated_a | wire::flag_low_battery | wire::flag_uncalibrated |
                   wire::flag_ac_clipped_a;
    // Calibrated since: the old flag no longer counts.
    CHECK(to_text(conversion.quality(record)) == "saturated low-battery ac-clipped");
}

TEST_CASE("the gain's drift counts by the board's temperature, where it is known") {
    wire::Calibration found = calibration();
    found.a.gain_ppm = 0;
    found.a.offset_uv = 0;
    found.a.gain_drift_ppb_per_k = 10000; // 10 ppm/K
    found.temperature_centi_c = 2500;
    const Conversion conversion({1, circuit, found});
    wire::Reading warm = reading(0, 0, 16000); // -1000 mV
    warm.board = 45 * 4;
    // By hand: 20 K warmer, 200 ppm more.
    CHECK(conversion.cell_a_mv(warm, {}) == doctest::Approx(-1000.2).epsilon(1e-9));
    warm.board = wire::missing_code;
    CHECK(conversion.cell_a_mv(warm, {}) == doctest::Approx(-1000).epsilon(1e-9));
    found.a.gain_drift_ppb_per_k = wire::unmeasured_error;
    warm.board = 45 * 4;
    CHECK(Conversion({1, circuit, found}).cell_a_mv(warm, {}) ==
          doctest::Approx(-1000).epsilon(1e-9));
}

TEST_CASE("cell B goes by its own comparison, and by none where there was none") {
    wire::Calibration found = calibration();
    found.b.gain_ppm = -500;
    wire::Reading record = reading(0, 0, 16000);
    record.cell_b = 16000;
    CHECK(Conversion({1, circuit, found}).cell_b_mv(record, {}) == doctest::Approx(-1000));
    found.flags |= wire::calibration_cell_b;
    CHECK(Conversion({1, circuit, found}).cell_b_mv(record, {}) == doctest::Approx(-999.5));
}

TEST_CASE("AC is corrected by the mean of what was found at 50 and 60 Hz") {
    wire::Calibration found = calibration();
    found.a = wire::unmeasured_input();
    wire::Reading record = reading(0, 0, 0);
    record.ac_a = 8906; // 1000.037 mV, 1000.031 without the circuit's floor of 3.6
    const auto ac_mv = [&] { return Conversion({1, circuit, found}).ac_mv(record, missing_value); };
    CHECK(ac_mv() == doctest::Approx(1000.031).epsilon(1e-6));
    found.a.ac_gain_50_hz_e4 = 10100;
    CHECK(ac_mv() == doctest::Approx(1010.031).epsilon(1e-6));
    found.a.ac_gain_60_hz_e4 = 9900;
    CHECK(ac_mv() == doctest::Approx(1000.031).epsilon(1e-6));
    found.a.ac_floor_uv = 60000; // by hand: the root of 1000.037^2 - 60^2
    CHECK(ac_mv() == doctest::Approx(998.235).epsilon(1e-6));
}

TEST_CASE("before the first check the converter counts as the calibration found it") {
    wire::Calibration found = calibration();
    found.zero_code_x16 = 40;
    const Conversion conversion({1, circuit, found});
    CHECK(conversion.state_then().zero == 2.5);
    CHECK(conversion.state_then().reference == 16384);
    CHECK(Conversion({1, circuit, {}}).state_then().zero == 0);
    CHECK_FALSE(Conversion({1, circuit, {}}).state_then().reference);
}
