#include "calibration/second_temperature.h"

#include <cmath>
#include <fmt/format.h>

namespace quaycell {

Result<std::vector<Check>> SecondTemperature::take(CellInput cell, const Sample& sample,
                                                   const MeterReading& meter) {
    const Step& step = second_temperature_source();
    const double then_c = record_.temperature_centi_c / 100.0;
    const double warmer_k = sample.board_c - then_c;
    if (!(std::abs(warmer_k) >= least_apart_k))
        return Error{ErrorCode::refused,
                     fmt::format("the board is at {:.1f} degC and was at {:.1f} degC when it was "
                                 "compared first: less than {:.0f} K apart",
                                 sample.board_c, then_c, least_apart_k),
                     "",
                     "Leave the logger in the cold or the warm until it has taken the "
                     "temperature on, two hours in its box, and start again."};
    if (cell == CellInput::b && (record_.flags & wire::calibration_cell_b) == 0)
        return Error{ErrorCode::refused, "cell B was not compared at the first temperature", "",
                     "Leave --cell-b out, or compare both cells anew."};
    if (auto error = mistyped(step, meter)) return *error;
    wire::Calibration record = record_;
    wire::CalibratedInput& input = input_of(record, cell);
    if (auto error =
            misjoined(step, cell, sample, meter, Conversion({0, circuit_, record}), circuit_))
        return *error;
    const Line line{1 + input.gain_ppm * 1e-6, input.offset_uv / 1000.0};
    input.gain_ppm = input.offset_uv = input.gain_drift_ppb_per_k = 0;
    const double shown_mv = Conversion({0, circuit_, record})
                                .potential_mv(cell, sample.code, sample.board_c, sample.converter);
    const double drift_per_k = gain_drift_per_k(line, {shown_mv, meter.dc_mv}, warmer_k);
    std::vector<Check> checks{{Limit::gain_drift, "", drift_per_k * 1e6}};
    const Check scatter{Limit::scatter, "",
                        sample.scatter_codes * circuit_.converter_lsb_nv * 1e-6};
    if (!scatter.accepted()) checks.insert(checks.begin(), scatter);
    if (!all_accepted(checks)) return checks;
    input_of(record_, cell).gain_drift_ppb_per_k = in_record(drift_per_k * 1e9);
    record_.flags |= wire::calibration_two_temperatures;
    record_.second_temperature_centi_c = in_record(sample.board_c * 100);
    return checks;
}

wire::Calibration SecondTemperature::calibration() const {
    wire::Calibration found = record_;
    wire::seal(found);
    return found;
}

} // namespace quaycell
