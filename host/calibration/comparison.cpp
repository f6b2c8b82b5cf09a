#include "calibration/comparison.h"

#include "series/lead.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <iterator>

namespace quaycell {

namespace {

constexpr std::uint32_t holds_s = 365 * 86400; // recheck yearly: the converter's gain ages

constexpr Limit response_limits[] = {Limit::stimulus_short, Limit::stimulus_10_kohm,
                                     Limit::stimulus_100_kohm, Limit::stimulus_open};
static_assert(std::size(response_limits) == wire::response_count);

constexpr std::size_t verify_at_1100 = 1;
static_assert(wire::verify_points_mv[verify_at_1100] == -1100);

std::string at_mv(double mv) {
    return fmt::format("{:.0f} mV", mv);
}

} // namespace

wire::CalibratedInput& input_of(wire::Calibration& calibration, CellInput cell) {
    return cell == CellInput::a ? calibration.a : calibration.b;
}

const wire::CalibratedInput& input_of(const wire::Calibration& calibration, CellInput cell) {
    return cell == CellInput::a ? calibration.a : calibration.b;
}

std::int16_t in_record(double value) {
    constexpr double largest = INT16_MAX; // INT16_MIN stands for what was not measured
    if (std::isnan(value)) return wire::unmeasured_error;
    return static_cast<std::int16_t>(std::lround(std::clamp(value, -largest, largest)));
}

Comparison::Comparison(const wire::Circuit& circuit) : circuit_(circuit) {
    record_.layout = wire::calibration_layout;
    record_.second_temperature_centi_c = wire::unmeasured_error;
    record_.a = record_.b = wire::unmeasured_input();
}

Result<std::vector<Check>> Comparison::take(CellInput cell, const Step& step, const Sample& sample,
                                            const MeterReading& meter) {
    if (auto error = mistyped(step, meter)) return *error;
    if (auto error = misjoined(step, cell, sample, meter, conversion(record_), circuit_))
        return *error;
    wire::Calibration record = record_;
    Kept kept = kept_[static_cast<std::size_t>(cell)];
    std::vector<Check> checks = found(cell, step, sample, meter, record, kept);
    const Check scatter{Limit::scatter, "", sample.scatter_codes * lsb_mv()};
    if (step.kind != StepKind::stimulus && !scatter.accepted())
        checks.insert(checks.begin(), scatter);
    if (!all_accepted(checks)) return checks;
    record_ = record;
    kept_[static_cast<std::size_t>(cell)] = kept;
    bits_.take(sample.bits);
    return checks;
}

std::vector<Check> Comparison::found(CellInput cell, const Step& step, const Sample& sample,
                                     const MeterReading& meter, wire::Calibration& record,
                                     Kept& kept) const {
    wire::CalibratedInput& input = input_of(record, cell);
    const double true_mv = step.has_source ? meter.dc_mv : step.nominal_mv;
    const double error_mv = shown_mv(record, cell, sample) - true_mv;
    const double shift_mv = error_mv - kept.error_at_1100_mv;
    switch (step.kind) {
    case StepKind::checks:
        return converter_checks(cell, sample, record);
    case StepKind::fit_first:
        input.gain_ppm = input.offset_uv = 0; // of a line that was found before
        kept.first = {shown_mv(record, cell, sample), true_mv};
        return {};
    case StepKind::fit_second:
        return line(cell, sample, meter, record, kept);
    case StepKind::verify:
        input.verify_uv[step.place] = in_record(error_mv * 1000);
        if (step.place == verify_at_1100) kept.error_at_1100_mv = error_mv;
        return {{Limit::verify, at_mv(step.nominal_mv), error_mv}};
    case StepKind::behind_100_kohm:
        input.behind_100_kohm_uv = in_record(shift_mv * 1000);
        return {{Limit::behind_100_kohm, "", shift_mv}};
    case StepKind::behind_10_mohm:
        input.behind_10_mohm_uv = in_record(shift_mv * 1000);
        return {{Limit::behind_10_mohm, "", shift_mv}};
    case StepKind::stimulus:
        return stimulus(cell, step, sample, record);
    case StepKind::ac:
        return ac(cell, step, sample, meter, record, kept);
    }
    return {};
}

/// Both cells share one converter: its zero and reference are those of cell A's turn.
std::vector<Check> Comparison::converter_checks(CellInput cell, const Sample& sample,
                                                wire::Calibration& record) const {
    const double reference = sample.converter.reference.value_or(missing_value);
    const double floor_mv = sample.ac_code == wire::missing_count
                                ? missing_value
                                : sample.ac_code * circuit_.ac_nv_per_code * 1e-6;
    if (cell == CellInput::a) {
        constexpr double per_code = 16, centi_c_per_c = 100;
        record.flags |= wire::calibration_valid;
        record.zero_code_x16 = in_record(sample.converter.zero * per_code);
        record.reference_code_x16 = static_cast<std::int32_t>(std::lround(reference * per_code));
        record.temperature_centi_c = in_record(sample.board_c * centi_c_per_c);
    }
    input_of(record, cell).ac_floor_uv = static_cast<std::uint16_t>(in_record(floor_mv * 1000));
    return {{Limit::zero, "", sample.converter.zero},
            {Limit::reference, "", reference * lsb_mv()},
            {Limit::ac_floor, "", floor_mv}};
}

std::vector<Check> Comparison::line(CellInput cell, const Sample& sample, const MeterReading& meter,
                                    wire::Calibration& record, const Kept& kept) const {
    wire::CalibratedInput& input = input_of(record, cell);
    if (cell == CellInput::b) record.flags |= wire::calibration_cell_b;
    input.gain_ppm = input.offset_uv = 0;
    const Line line = line_through(kept.first, {shown_mv(record, cell, sample), meter.dc_mv});
    input.gain_ppm = in_record((line.gain - 1) * 1e6);
    input.offset_uv = in_record(line.offset_mv * 1000);
    return {{Limit::gain, "", line.gain}, {Limit::offset, "", line.offset_mv}};
}

std::vector<Check> Comparison::stimulus(CellInput cell, const Step& step, const Sample& sample,
                                        wire::Calibration& record) const {
    input_of(record, cell).response[step.place] = sample.response;
    const double mv = sample.response == wire::missing_byte
                          ? missing_value
                          : sample.response * circuit_.source_uv_per_code * 1e-3;
    return {{response_limits[step.place], "", mv}};
}

std::vector<Check> Comparison::ac(CellInput cell, const Step& step, const Sample& sample,
                                  const MeterReading& meter, wire::Calibration& record,
                                  const Kept& kept) const {
    wire::CalibratedInput& input = input_of(record, cell);
    std::uint16_t& mine = step.place == 50 ? input.ac_gain_50_hz_e4 : input.ac_gain_60_hz_e4;
    input.ac_gain_50_hz_e4 = input.ac_gain_60_hz_e4 = wire::unmeasured_size;
    const double shown_ac_mv =
        conversion(record).ac_mv(cell, sample.ac_code, source_ohm(sample.response, circuit_));
    const double gain = meter.ac_mv / shown_ac_mv;
    const wire::CalibratedInput& before = input_of(record_, cell);
    input.ac_gain_50_hz_e4 = before.ac_gain_50_hz_e4;
    input.ac_gain_60_hz_e4 = before.ac_gain_60_hz_e4;
    mine = static_cast<std::uint16_t>(in_record(gain * 1e4));
    const std::string hz = fmt::format("{} Hz", step.place);
    return {{Limit::ac_gain, hz, gain},
            {Limit::ac_dc_shift, hz,
             shown_mv(record, cell, sample) - meter.dc_mv - kept.error_at_1100_mv}};
}

double Comparison::shown_mv(const wire::Calibration& record, CellInput cell,
                            const Sample& sample) const {
    // Cell B counts as compared from its first point on, or its gain would be nobody's.
    wire::Calibration whole = record;
    whole.flags |= wire::calibration_cell_b;
    return conversion(whole).potential_mv(cell, sample.code, sample.board_c, sample.converter);
}

Check Comparison::bits_check() const {
    std::string which;
    const std::vector<int> stuck = bits_.stuck();
    for (const int bit : stuck)
        which += fmt::format("{}{}", which.empty() ? "bit " : ", ", bit);
    return {Limit::stuck_bits, which, static_cast<double>(stuck.size())};
}

wire::Calibration Comparison::calibration(const Instrument& instrument,
                                          std::uint32_t unix_s) const {
    wire::Calibration found = record_;
    found.unix_s = unix_s;
    found.due_unix_s = unix_s + holds_s;
    found.uncertainty_uv = static_cast<std::uint16_t>(std::lround(instrument.expanded_mv * 1000));
    std::copy_n(instrument.name.begin(), std::min(instrument.name.size(), longest_instrument_name),
                found.instrument);
    wire::seal(found);
    return found;
}

} // namespace quaycell
