// A logger whose converter is off by known amounts, as steps of a comparison find it.
#pragma once

#include "calibration/comparison.h"

namespace quaycell::testing {

inline constexpr wire::Circuit circuit{
    62500,  1024000, 10000,  10000, {3354016000, 256985000, 2620131, 63831},
    112288, 330000,  292000, 10000, 6600,
    16384,  3300,    3600,   793,   167,
    55,     65};

constexpr double zero_codes = 2;
constexpr double converter_gain = 16400.0 / 16384; ///< 976.6 ppm too large

/// `mv` between jack and COM, counted as a hull's potential. One code is 62.5 uV.
inline double code_of(double mv) {
    return -mv / 0.0625 * converter_gain + zero_codes;
}

/// Settled, quiet, at 25 degC; COM at exactly 1.024 V, of which the converter makes 16400 codes. AC
/// of 3.6 mV: 32.06 hundredths of a step. Stimulus: 7 codes are 5.5 mV.
inline Sample sample_of(double mv) {
    return {code_of(mv),        0.5, missing_value, {zero_codes, 16384 * converter_gain}, 25, 32, 7,
            wire::missing_byte, {}};
}

/// The step of that kind and place.
inline const Step& step_of(StepKind kind, std::size_t place = 0) {
    for (const Step& step : comparison_steps())
        if (step.kind == kind && step.place == place) return step;
    throw std::logic_error("no such step");
}

/// A comparison of cell A that has its line: an instrument that shows what is there.
inline Comparison compared() {
    Comparison comparison(circuit);
    const auto take = [&](StepKind kind, double mv) {
        const auto checks = comparison.take(CellInput::a, step_of(kind), sample_of(mv), {mv});
        if (!checks || !all_accepted(*checks)) throw std::logic_error("not accepted");
    };
    take(StepKind::checks, 0);
    take(StepKind::fit_first, -1500);
    take(StepKind::fit_second, 300);
    return comparison;
}

} // namespace quaycell::testing
