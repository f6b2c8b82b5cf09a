#include "cli/calibration_sheet.h"

#include "base/time.h"
#include "judging/json_text.h"

#include <boost/json.hpp>
#include <cmath>
#include <fmt/format.h>

namespace quaycell {

namespace {

namespace json = boost::json;

std::string date(std::uint32_t unix_s) {
    return to_text(from_unix_s(unix_s)).substr(0, std::string_view("2026-05-04").size());
}

std::string instrument_of(const wire::Calibration& calibration) {
    const std::string_view field(calibration.instrument, sizeof calibration.instrument);
    return std::string(field.substr(0, field.find('\0')));
}

bool has_flag(const wire::Calibration& calibration, std::uint16_t flag) {
    return (calibration.flags & flag) != 0;
}

bool is_due(const wire::Calibration& calibration, Instant now) {
    return now >= from_unix_s(calibration.due_unix_s);
}

/// In the unit of so many steps of the record; missing where it was not measured.
double of_error(std::int16_t value, double per_unit) {
    return value == wire::unmeasured_error ? missing_value : value / per_unit;
}
double of_size(std::uint16_t value, double per_unit) {
    return value == wire::unmeasured_size ? missing_value : value / per_unit;
}

std::string words(double value, int decimals, const char* unit) {
    return std::isnan(value) ? "not measured" : fmt::format("{:.{}f}{}", value, decimals, unit);
}

std::string text_of(const wire::CalibratedInput& input) {
    std::string text = fmt::format("  gain {:.6f}, offset {:.3f} mV\n  drift of the gain: {}\n",
                                   1 + input.gain_ppm * 1e-6, input.offset_uv / 1000.0,
                                   words(of_error(input.gain_drift_ppb_per_k, 1000), 2, " ppm/K"));
    text += "  error left:";
    for (std::size_t i = 0; i < wire::verify_point_count; ++i)
        text += fmt::format("{} {} at {} mV", i == 0 ? "" : ",",
                            words(of_error(input.verify_uv[i], 1000), 3, " mV"),
                            wire::verify_points_mv[i]);
    text += fmt::format("\n  shift behind 100 kohm: {}; behind 10 Mohm: {}\n",
                        words(of_error(input.behind_100_kohm_uv, 1000), 3, " mV"),
                        words(of_error(input.behind_10_mohm_uv, 1000), 3, " mV"));
    return text + fmt::format("  true AC over shown: {} at 50 Hz, {} at 60 Hz; without AC: {}\n",
                              words(of_size(input.ac_gain_50_hz_e4, 1e4), 4, ""),
                              words(of_size(input.ac_gain_60_hz_e4, 1e4), 4, ""),
                              words(of_size(input.ac_floor_uv, 1000), 2, " mV"));
}

json::object json_of(const wire::CalibratedInput& input) {
    json::array errors;
    for (std::size_t i = 0; i < wire::verify_point_count; ++i)
        errors.push_back({{"at_mv", wire::verify_points_mv[i]},
                          {"error_mv", rounded(of_error(input.verify_uv[i], 1000), 3)}});
    json::array responses;
    for (const std::uint8_t code : input.response)
        responses.push_back(code == wire::unmeasured_response ? json::value(nullptr)
                                                              : json::value(code));
    return {{"gain", 1 + input.gain_ppm * 1e-6},
            {"offset_mv", input.offset_uv / 1000.0},
            {"gain_drift_ppm_per_k", rounded(of_error(input.gain_drift_ppb_per_k, 1000), 3)},
            {"verify", errors},
            {"behind_100_kohm_mv", rounded(of_error(input.behind_100_kohm_uv, 1000), 3)},
            {"behind_10_mohm_mv", rounded(of_error(input.behind_10_mohm_uv, 1000), 3)},
            {"ac_gain_50_hz", rounded(of_size(input.ac_gain_50_hz_e4, 1e4), 4)},
            {"ac_gain_60_hz", rounded(of_size(input.ac_gain_60_hz_e4, 1e4), 4)},
            {"ac_floor_mv", rounded(of_size(input.ac_floor_uv, 1000), 3)},
            {"stimulus_codes", responses}};
}

} // namespace

std::string calibration_line(const wire::Calibration& calibration, Instant now) {
    return fmt::format(
        "{}, against {}, at {}; {} {}", date(calibration.unix_s), instrument_of(calibration),
        has_flag(calibration, wire::calibration_two_temperatures) ? "two temperatures"
                                                                  : "one temperature",
        is_due(calibration, now) ? "it had to be repeated by" : "due again",
        date(calibration.due_unix_s));
}

std::string calibration_text(const wire::Calibration& calibration, Instant now) {
    std::string text = fmt::format("compared {}\n", calibration_line(calibration, now));
    text +=
        fmt::format("instrument within {:.2f} mV (k = 2)\n", calibration.uncertainty_uv / 1000.0);
    text += fmt::format("board at {:.1f} degC then; second temperature: {}\n",
                        calibration.temperature_centi_c / 100.0,
                        words(of_error(calibration.second_temperature_centi_c, 100), 1, " degC"));
    text += fmt::format("converter then: zero {:.2f}, reference {:.2f} codes\n",
                        calibration.zero_code_x16 / 16.0, calibration.reference_code_x16 / 16.0);
    text += "cell A\n" + text_of(calibration.a);
    if (has_flag(calibration, wire::calibration_cell_b))
        return text + "cell B\n" + text_of(calibration.b);
    return text + "cell B: not compared\n";
}

json::object calibration_json(const wire::Calibration& calibration, Instant now) {
    json::object object{
        {"time", to_text(from_unix_s(calibration.unix_s))},
        {"due", to_text(from_unix_s(calibration.due_unix_s))},
        {"overdue", is_due(calibration, now)},
        {"instrument", instrument_of(calibration)},
        {"instrument_expanded_uncertainty_mv", calibration.uncertainty_uv / 1000.0},
        {"temperature_c", calibration.temperature_centi_c / 100.0},
        {"second_temperature_c", rounded(of_error(calibration.second_temperature_centi_c, 100), 2)},
        {"zero_codes", calibration.zero_code_x16 / 16.0},
        {"reference_codes", calibration.reference_code_x16 / 16.0},
        {"cell_a", json_of(calibration.a)}};
    object["cell_b"] = has_flag(calibration, wire::calibration_cell_b)
                           ? json::value(json_of(calibration.b))
                           : json::value(nullptr);
    return object;
}

std::string walked_text(const Walked& walked) {
    std::string text;
    for (const FoundCheck& found : walked.checks)
        text += fmt::format("step {}, cell {}: {}\n", facts_of(found.check.limit).step,
                            found.cell == CellInput::a ? 'A' : 'B', to_text(found.check));
    for (const std::string& step : walked.left_out)
        text += step + ": left out, not measured\n";
    return text;
}

void add_walked(json::object& document, const Walked& walked) {
    json::array checks;
    for (const FoundCheck& found : walked.checks) {
        const LimitFacts& facts = facts_of(found.check.limit);
        checks.push_back({{"step", facts.step},
                          {"cell", found.cell == CellInput::a ? "A" : "B"},
                          {"what", facts.what},
                          {"at", found.check.at},
                          {"value", rounded(found.check.value, 6)},
                          {"unit", facts.unit},
                          {"low", facts.low},
                          {"high", facts.high},
                          {"accepted", found.check.accepted()},
                          {"source", facts.source}});
    }
    document["checks"] = checks;
    document["left_out"] = json::array(walked.left_out.begin(), walked.left_out.end());
}

} // namespace quaycell
