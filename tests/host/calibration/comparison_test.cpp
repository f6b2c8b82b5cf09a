#include "calibration/comparison.h"

#include "samples.h"

#include <doctest/doctest.h>

using namespace quaycell;
using namespace quaycell::testing;

namespace {

const Instrument instrument{"DMM 5.5", 0.27};
constexpr std::uint32_t may = 1777874400; // 2026-05-04T06:00:00Z

wire::Calibration record_of(const Comparison& comparison) {
    return comparison.calibration(instrument, may);
}

std::vector<Check> taken(Comparison& comparison, const Step& step, const Sample& sample,
                         const MeterReading& meter, CellInput cell = CellInput::a) {
    const auto checks = comparison.take(cell, step, sample, meter);
    REQUIRE_MESSAGE(checks, (checks ? "" : to_text(checks.error())));
    return *checks;
}

} // namespace

TEST_CASE("two points take out a gain that is off") {
    const wire::Calibration record = record_of(compared());
    CHECK(record.a.gain_ppm == -976); // 16384 / 16400
    CHECK(record.a.offset_uv == 0);
    CHECK(record.zero_code_x16 == 32);
    CHECK(record.reference_code_x16 == 262400); // 16 * 16400
    CHECK(record.temperature_centi_c == 2500);
    CHECK(record.a.ac_floor_uv == 3593); // 32 codes of 112.288 uV
    CHECK(wire::is_valid(record));
}

TEST_CASE("what was not walked is unmeasured, not zero") {
    const wire::Calibration record = record_of(compared());
    CHECK(record.a.verify_uv[0] == wire::unmeasured_error);
    CHECK(record.a.behind_10_mohm_uv == wire::unmeasured_error);
    CHECK(record.a.ac_gain_50_hz_e4 == wire::unmeasured_size);
    CHECK(record.a.response[3] == wire::unmeasured_response);
    CHECK(record.a.gain_drift_ppb_per_k == wire::unmeasured_error);
    CHECK(record.second_temperature_centi_c == wire::unmeasured_error);
    CHECK((record.flags & (wire::calibration_cell_b | wire::calibration_two_temperatures)) == 0);
}

TEST_CASE("the record names the instrument and is due a year later") {
    const wire::Calibration record = record_of(compared());
    CHECK(std::string(record.instrument) == "DMM 5.5");
    CHECK(record.uncertainty_uv == 270);
    CHECK(record.unix_s == may);
    CHECK(record.due_unix_s == may + 365 * 86400);
    const std::string longest(longest_instrument_name, 'x');
    const wire::Calibration full = compared().calibration({longest, 1}, may);
    CHECK(std::string(full.instrument, sizeof full.instrument) == longest);
}

TEST_CASE("the error that is left is that of the logger against the instrument") {
    Comparison comparison = compared();
    const Step& step = step_of(StepKind::verify, 1);
    // The instrument shows 0.1 mV less negative than what the two points had made of it.
    const auto checks = taken(comparison, step, sample_of(-1100), {-1099.9});
    REQUIRE(checks.size() == 1);
    CHECK(checks[0].value == doctest::Approx(-0.1).epsilon(0.02));
    CHECK(record_of(comparison).a.verify_uv[1] == -100);
    // 0.3 mV is too much, and leaves what stood there.
    const auto refused = taken(comparison, step, sample_of(-1100), {-1099.7});
    CHECK_FALSE(all_accepted(refused));
    CHECK(record_of(comparison).a.verify_uv[1] == -100);
}

TEST_CASE("a shift is counted from the reading without the resistor") {
    Comparison comparison = compared();
    taken(comparison, step_of(StepKind::verify, 1), sample_of(-1100), {-1099.9});
    // 0.15 mV from the instrument, of which 0.1 were there before.
    const auto checks =
        taken(comparison, step_of(StepKind::behind_100_kohm), sample_of(-1100.05), {-1099.9});
    CHECK(checks[0].value == doctest::Approx(-0.05).epsilon(0.05));
    CHECK(checks[0].accepted());
    const auto current =
        taken(comparison, step_of(StepKind::behind_10_mohm), sample_of(-1104), {-1100});
    CHECK(current[0].value == doctest::Approx(-3.9).epsilon(0.01)); // 390 pA
    CHECK_FALSE(current[0].accepted());
    CHECK(record_of(comparison).a.behind_10_mohm_uv == wire::unmeasured_error);
}

TEST_CASE("a gain beyond the limit is refused and leaves the record without") {
    Comparison comparison(circuit);
    taken(comparison, step_of(StepKind::checks), sample_of(0), {});
    taken(comparison, step_of(StepKind::fit_first), sample_of(-1500), {-1504.5});
    const auto checks =
        taken(comparison, step_of(StepKind::fit_second), sample_of(300), {300.9}); // 1.002 more
    REQUIRE(checks.size() == 2);
    CHECK(checks[0].value == doctest::Approx(1.003 * 16384 / 16400));
    CHECK(all_accepted(checks));
    taken(comparison, step_of(StepKind::fit_first), sample_of(-1500), {-1506});
    const auto refused = taken(comparison, step_of(StepKind::fit_second), sample_of(300), {301.2});
    CHECK(refused[0].value == doctest::Approx(1.004 * 16384 / 16400));
    CHECK_FALSE(all_accepted(refused));
    CHECK(record_of(comparison).a.gain_ppm == 0);
}

TEST_CASE("a converter's zero or reference beyond its limit is refused") {
    Comparison comparison(circuit);
    Sample sample = sample_of(0);
    sample.converter.zero = 3.5;
    CHECK_FALSE(all_accepted(taken(comparison, step_of(StepKind::checks), sample, {})));
    sample = sample_of(0);
    sample.converter.reference = 16384 * 1.003;
    CHECK_FALSE(all_accepted(taken(comparison, step_of(StepKind::checks), sample, {})));
    sample = sample_of(0);
    sample.ac_code = 500; // 56 mV of hum on the short
    CHECK_FALSE(all_accepted(taken(comparison, step_of(StepKind::checks), sample, {})));
}

TEST_CASE("the logger warms up during the walk, and its own check takes that out") {
    Comparison comparison = compared();
    Sample sample = sample_of(-1100);
    // Everything 100 ppm larger, the reference, too.
    sample.code = (sample.code - zero_codes) * 1.0001 + zero_codes;
    sample.converter.reference = 16384 * converter_gain * 1.0001;
    const auto checks = taken(comparison, step_of(StepKind::verify, 1), sample, {-1100});
    CHECK(std::abs(checks[0].value) < 0.002);
}

TEST_CASE("a source that scatters is refused in every step") {
    Comparison comparison = compared();
    Sample sample = sample_of(-1100);
    sample.scatter_codes = 2; // 0.125 mV
    const auto checks = taken(comparison, step_of(StepKind::verify, 1), sample, {-1100});
    CHECK(checks[0].limit == Limit::scatter);
    CHECK_FALSE(all_accepted(checks));
}

TEST_CASE("the stimulus is held against what the circuit gives on its resistor") {
    Comparison comparison = compared();
    Sample sample = sample_of(0);
    const std::uint8_t codes[] = {7, 13, 58, 211}; // 5.6, 10.3, 46.0 and 167.3 mV of 0.793 each
    for (std::size_t i = 0; i < 4; ++i) {
        sample.response = codes[i];
        CHECK(all_accepted(taken(comparison, step_of(StepKind::stimulus, i), sample, {})));
        CHECK(record_of(comparison).a.response[i] == codes[i]);
    }
    sample.response = 9; // 7.1 mV: 3 kohm too much in the short
    CHECK_FALSE(all_accepted(taken(comparison, step_of(StepKind::stimulus, 0), sample, {})));
    sample.response = wire::missing_byte;
    CHECK_FALSE(all_accepted(taken(comparison, step_of(StepKind::stimulus, 0), sample, {})));
}

TEST_CASE("AC: true over shown, at each frequency by itself") {
    Comparison comparison = compared();
    taken(comparison, step_of(StepKind::verify, 1), sample_of(-1100), {-1100});
    Sample sample = sample_of(-1100);
    sample.ac_code = 8906; // 1000.037 mV, 1000.030 without the floor
    sample.response = 6;   // no resistance to speak of
    taken(comparison, step_of(StepKind::ac, 50), sample, {-1100, 1010});
    CHECK(record_of(comparison).a.ac_gain_50_hz_e4 == 10100);
    CHECK(record_of(comparison).a.ac_gain_60_hz_e4 == wire::unmeasured_size);
    // What was found at 50 Hz does not change what is found at 60.
    taken(comparison, step_of(StepKind::ac, 60), sample, {-1100, 990});
    CHECK(record_of(comparison).a.ac_gain_60_hz_e4 == 9900);
    CHECK(record_of(comparison).a.ac_gain_50_hz_e4 == 10100);
    CHECK_FALSE(all_accepted(taken(comparison, step_of(StepKind::ac, 50), sample, {-1100, 1040})));
    CHECK_FALSE(all_accepted(
        taken(comparison, step_of(StepKind::ac, 50), sample, {-1100.15, 1000}))); // moves the DC
}

TEST_CASE("cell B has a line of its own and leaves that of A and the converter's checks alone") {
    Comparison comparison = compared();
    const wire::Calibration before = record_of(comparison);
    Sample sample = sample_of(0);
    sample.converter.zero = 2.5;
    taken(comparison, step_of(StepKind::checks), sample, {}, CellInput::b);
    CHECK((record_of(comparison).flags & wire::calibration_cell_b) == 0);
    taken(comparison, step_of(StepKind::fit_first), sample_of(-1500), {-1500.75}, CellInput::b);
    taken(comparison, step_of(StepKind::fit_second), sample_of(300), {300.15}, CellInput::b);
    const wire::Calibration record = record_of(comparison);
    CHECK(record.b.gain_ppm == -476); // 1.0005 * 16384 / 16400
    CHECK(record.a.gain_ppm == before.a.gain_ppm);
    CHECK(record.zero_code_x16 == before.zero_code_x16);
    CHECK((record.flags & wire::calibration_cell_b) != 0);
}

TEST_CASE("a line found anew does not build on the one before") {
    Comparison comparison = compared();
    taken(comparison, step_of(StepKind::fit_first), sample_of(-1500), {-1500});
    taken(comparison, step_of(StepKind::fit_second), sample_of(300), {300});
    CHECK(record_of(comparison).a.gain_ppm == -976);
}

TEST_CASE("the bits of all that was taken are counted together") {
    Comparison comparison(circuit);
    CHECK(comparison.bits_check().value == 16);
    Sample sample = sample_of(0);
    sample.bits.take(-1);
    sample.bits.take(7);
    taken(comparison, step_of(StepKind::checks), sample, {});
    CHECK(comparison.bits_check().value == 3);
    CHECK(comparison.bits_check().at == "bit 0, 1, 2");
}
