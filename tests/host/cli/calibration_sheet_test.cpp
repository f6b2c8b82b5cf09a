#include "cli/calibration_sheet.h"

#include <boost/json.hpp>
#include <doctest/doctest.h>

using namespace quaycell;

namespace {

constexpr std::uint32_t may = 1777874400; // 2026-05-04T06:00:00Z
constexpr std::uint32_t year = 365 * 86400;

wire::Calibration record() {
    wire::Calibration record{};
    record.flags = wire::calibration_valid;
    record.unix_s = may;
    record.due_unix_s = may + year;
    record.temperature_centi_c = 2150;
    record.second_temperature_centi_c = wire::unmeasured_error;
    record.uncertainty_uv = 650;
    record.a = record.b = wire::unmeasured_input();
    record.a.gain_ppm = -400;
    record.a.verify_uv[0] = 120;
    const std::string_view name = "0123456789012345678901"; // fills its field
    std::copy(name.begin(), name.end(), record.instrument);
    return record;
}

} // namespace

TEST_CASE("a calibration is told with its instrument and the day it is due") {
    CHECK(calibration_line(record(), from_unix_s(may)) ==
          "2026-05-04, against 0123456789012345678901, at one temperature; due again 2027-05-04");
    wire::Calibration two = record();
    two.flags |= wire::calibration_two_temperatures;
    CHECK(calibration_line(two, from_unix_s(may)).find("at two temperatures") != std::string::npos);
}

TEST_CASE("from the day it is due on, it is overdue") {
    CHECK_FALSE(calibration_json(record(), from_unix_s(may + year - 1)).at("overdue").as_bool());
    CHECK(calibration_json(record(), from_unix_s(may + year)).at("overdue").as_bool());
    CHECK(calibration_line(record(), from_unix_s(may + year))
              .ends_with("it had to be repeated by 2027-05-04"));
}

TEST_CASE("what was not measured is not told as zero") {
    const auto object = calibration_json(record(), from_unix_s(may));
    CHECK(object.at("second_temperature_c").is_null());
    CHECK(object.at("cell_b").is_null());
    const auto& a = object.at("cell_a").as_object();
    CHECK(a.at("gain").as_double() == doctest::Approx(0.9996));
    CHECK(a.at("gain_drift_ppm_per_k").is_null());
    CHECK(a.at("ac_gain_50_hz").is_null());
    CHECK(a.at("stimulus_codes").as_array().at(0).is_null());
    CHECK(a.at("verify").as_array().at(0).as_object().at("error_mv").as_double() == 0.12);
    CHECK(a.at("verify").as_array().at(1).as_object().at("error_mv").is_null());
    const std::string text = calibration_text(record(), from_unix_s(may));
    CHECK(text.find("drift of the gain: not measured") != std::string::npos);
    CHECK(text.find("cell B: not compared") != std::string::npos);
}

TEST_CASE("the sheet holds each value against its limit and names what was left out") {
    const Walked walked{{{CellInput::b, {Limit::verify, "-1800 mV", 0.12}}}, {"step 6, cell B"}};
    CHECK(walked_text(walked) ==
          "step 4, cell B: error at -1800 mV: 0.120 mV (-0.25 to 0.25 mV): accepted\n"
          "step 6, cell B: left out, not measured\n");
    boost::json::object document;
    add_walked(document, walked);
    const auto& check = document.at("checks").as_array().at(0).as_object();
    CHECK(check.at("step").as_int64() == 4);
    CHECK(check.at("high").as_double() == 0.25);
    CHECK(document.at("left_out").as_array().size() == 1);
}
