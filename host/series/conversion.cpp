#include "series/conversion.h"

#include "electrode/constants.h"

#include <algorithm>
#include <cmath>
#include <iterator>

namespace quaycell {

namespace {

constexpr double coldest_water_c = -5;
constexpr double warmest_water_c = 50;

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

Conversion::Conversion(const LoggerFacts& facts) : circuit_(facts.circuit) {
    const auto& calibration = facts.calibration;
    if (!calibration || (calibration->flags & wire::calibration_valid) == 0 ||
        calibration->reference_code_x16 <= 0)
        return;
    reference_then_ = calibration->reference_code_x16 / 16.0;
    cell_a_ = {1 + calibration->a.gain_ppm * 1e-6, calibration->a.offset_uv / 1000.0};
    cell_b_ = {1 + calibration->b.gain_ppm * 1e-6, calibration->b.offset_uv / 1000.0};
}

double Conversion::cell_a_mv(const wire::Reading& reading, const ConverterState& now) const {
    return potential_mv(reading.cell_a, cell_a_, now);
}

double Conversion::cell_b_mv(const wire::Reading& reading, const ConverterState& now) const {
    return potential_mv(reading.cell_b, cell_b_, now);
}

double Conversion::potential_mv(std::int16_t code, const Correction& cell,
                                const ConverterState& now) const {
    if (code == wire::missing_code) return missing_value;
    // The rule stands at wire::Calibration.
    const bool reference_known = reference_then_ && now.reference && *now.reference > 0;
    const double drift = reference_known ? *reference_then_ / *now.reference : 1;
    const double lsb_mv = circuit_.converter_lsb_nv * 1e-6;
    return -(code - now.zero) * lsb_mv * cell.gain * drift + cell.offset_mv;
}

double Conversion::ac_mv(const wire::Reading& reading, double source_ohm) const {
    if (reading.ac_a == wire::missing_count) return missing_value;
    const double seen_mv = reading.ac_a * circuit_.ac_nv_per_code * 1e-6;
    const double floor_mv = circuit_.ac_floor_uv * 1e-3;
    const double mv = std::sqrt(std::max(0.0, seen_mv * seen_mv - floor_mv * floor_mv));
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
    Quality quality = reference_then_ ? Quality::good : Quality::uncalibrated;
    for (const QualityFlag& known : quality_flags)
        if ((reading.flags & known.flag) != 0) quality |= known.quality;
    return quality;
}

} // namespace quaycell
