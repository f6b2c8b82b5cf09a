#include "series/conversion.h"

#include "electrode/constants.h"

#include <algorithm>
#include <cmath>
#include <iterator>

namespace quaycell {

namespace {

constexpr double coldest_water_c = -5;
constexpr double warmest_water_c = 50;
constexpr double degrees_per_code = 0.25; ///< of the board

struct QualityFlag {
    std::uint16_t flag;
    Quality quality;
};
constexpr QualityFlag quality_flags[] = {
    {wire::flag_saturated_a, Quality::saturated},
    {wire::flag_saturated_b, Quality::cell_b_saturated},
    {wire::flag_unsettled, Quality::unsettled},
    {wire::flag_converter_fault, Quality::converter_fault},
    {wire::flag_low_battery, Quality::low_battery},
    {wire::flag_drying_a, Quality::cell_drying},
    {wire::flag_not_good_a, Quality::lead_not_good},
    {wire::flag_drying_b, Quality::cell_b_drying},
    {wire::flag_not_good_b, Quality::cell_b_not_good},
    {wire::flag_ac_clipped_a, Quality::ac_clipped},
};

} // namespace

std::optional<ConverterState> state_of(const wire::Check& check) {
    if (check.count == 0) return std::nullopt;
    const double zero = static_cast<double>(check.zero_sum) / check.count;
    return ConverterState{zero, static_cast<double>(check.reference_sum) / check.count - zero};
}

double battery_mv(std::uint16_t sum, const wire::Circuit& circuit) {
    if (sum == wire::missing_count) return missing_value;
    return static_cast<double>(sum) * circuit.battery_full_scale_mv / circuit.sum_full_scale;
}

double board_c(std::int16_t code) {
    return code == wire::missing_code ? missing_value : code * degrees_per_code;
}

Conversion::Conversion(const LoggerFacts& facts) : circuit_(facts.circuit) {
    cell_a_.ac_floor_mv = cell_b_.ac_floor_mv = circuit_.ac_floor_uv * 1e-3;
    const auto& calibration = facts.calibration;
    if (!calibration || (calibration->flags & wire::calibration_valid) == 0 ||
        calibration->reference_code_x16 <= 0)
        return;
    calibrated_ = true;
    then_ = {calibration->zero_code_x16 / 16.0, calibration->reference_code_x16 / 16.0};
    temperature_then_c_ = calibration->temperature_centi_c / 100.0;
    cell_a_ = correction_of(calibration->a, cell_a_.ac_floor_mv);
    if ((calibration->flags & wire::calibration_cell_b) != 0)
        cell_b_ = correction_of(calibration->b, cell_b_.ac_floor_mv);
}

Conversion::Correction Conversion::correction_of(const wire::CalibratedInput& input,
                                                 double ac_floor_mv) {
    Correction cell;
    cell.gain = 1 + input.gain_ppm * 1e-6;
    if (input.gain_drift_ppb_per_k != wire::unmeasured_error)
        cell.gain_drift_per_k = input.gain_drift_ppb_per_k * 1e-9;
    cell.offset_mv = input.offset_uv / 1000.0;
    // At which of the two a reading was taken nobody knows: their mean is right for both within
    // what the amplifier's corner parts them, 1.4 %.
    double sum = 0;
    int count = 0;
    for (const std::uint16_t e4 : {input.ac_gain_50_hz_e4, input.ac_gain_60_hz_e4}) {
        if (e4 == wire::unmeasured_size || e4 == 0) continue;
        sum += e4 * 1e-4;
        ++count;
    }
    if (count > 0) cell.ac_gain = sum / count;
    cell.ac_floor_mv =
        input.ac_floor_uv == wire::unmeasured_size ? ac_floor_mv : input.ac_floor_uv * 1e-3;
    return cell;
}

double Conversion::cell_a_mv(const wire::Reading& reading, const ConverterState& now) const {
    return cell_mv(CellInput::a, reading.cell_a, reading, now);
}

double Conversion::cell_b_mv(const wire::Reading& reading, const ConverterState& now) const {
    return cell_mv(CellInput::b, reading.cell_b, reading, now);
}

double Conversion::cell_mv(CellInput cell, std::int16_t code, const wire::Reading& reading,
                           const ConverterState& now) const {
    if (code == wire::missing_code) return missing_value;
    return potential_mv(cell, code, board_c(reading.board), now);
}

double Conversion::potential_mv(CellInput cell, double code, double board_c,
                                const ConverterState& now) const {
    return line(cell, now).mv_at(code, board_c);
}

Conversion::Line Conversion::line(CellInput cell, const ConverterState& now) const {
    // The rule stands at wire::Calibration.
    const Correction& correction = of(cell);
    const bool reference_known = then_.reference && now.reference && *now.reference > 0;
    const double drift = reference_known ? *then_.reference / *now.reference : 1;
    const double mv_per_code = circuit_.converter_lsb_nv * 1e-6 * drift;
    return {now.zero, mv_per_code * correction.gain, mv_per_code * correction.gain_drift_per_k,
            temperature_then_c_, correction.offset_mv};
}

void Conversion::Line::convert(std::span<const std::int32_t> code,
                               std::span<const std::int32_t> board, std::span<double> mv) const {
    // Without a branch, so that several are converted at once.
    for (std::size_t i = 0; i < mv.size(); ++i) {
        const double known_k = board[i] * degrees_per_code - temperature_c;
        const double warmer_k = board[i] == wire::missing_code ? 0 : known_k;
        const double each_mv =
            -(code[i] - zero) * (mv_per_code + mv_per_code_per_k * warmer_k) + offset_mv;
        mv[i] = code[i] == wire::missing_code ? missing_value : each_mv;
    }
}

double Conversion::ac_mv(const wire::Reading& reading, double source_ohm) const {
    return ac_mv(CellInput::a, reading.ac_a, source_ohm);
}

double Conversion::ac_mv(CellInput cell, std::uint16_t code, double source_ohm) const {
    if (code == wire::missing_count) return missing_value;
    const Correction& correction = of(cell);
    const double seen_mv = code * circuit_.ac_nv_per_code * 1e-6;
    const double floor_mv = correction.ac_floor_mv;
    const double mv =
        correction.ac_gain * std::sqrt(std::max(0.0, seen_mv * seen_mv - floor_mv * floor_mv));
    // The source's resistance and what the inputs draw divide the voltage.
    return std::isnan(source_ohm) ? mv : mv * (1 + source_ohm / circuit_.ac_load_ohm);
}

double Conversion::temperature_c(const wire::Reading& reading) const {
    // Supply and reference of the divider are the same, so that they cancel out.
    const double share = static_cast<double>(reading.water) / circuit_.sum_full_scale;
    if (reading.water == wire::missing_count || share <= 0 || share >= 1) return missing_value;
    const double ohm = circuit_.thermistor_pullup_ohm * share / (1 - share);
    // Extended Steinhart-Hart equation; the coefficients are told with the circuit.
    const double x = std::log(ohm / circuit_.thermistor_25c_ohm);
    double inverse_k = 0;
    for (std::size_t n = std::size(circuit_.thermistor_e12_per_k); n-- > 0;)
        inverse_k = inverse_k * x + circuit_.thermistor_e12_per_k[n] * 1e-12;
    const double celsius = 1 / inverse_k - kelvin(0);
    return celsius < coldest_water_c || celsius > warmest_water_c ? missing_value : celsius;
}

double Conversion::battery_mv(const wire::Reading& reading) const {
    return quaycell::battery_mv(reading.battery, circuit_);
}

Quality Conversion::quality(const wire::Reading& reading) const {
    Quality quality = calibrated_ ? Quality::good : Quality::uncalibrated;
    for (const QualityFlag& known : quality_flags)
        if ((reading.flags & known.flag) != 0) quality |= known.quality;
    return quality;
}

} // namespace quaycell
