// Raw codes of a logger to physical values.
#pragma once

#include "series/decode.h"

namespace quaycell {

/// What the converter calls zero and what it makes of its reference, by a Check record, [codes].
struct ConverterState {
    double zero = 0;
    std::optional<double> reference; ///< less the zero
};

/// Nothing when the check holds no conversion.
std::optional<ConverterState> state_of(const wire::Check& check);

/// Battery voltage from its raw sum, [mV]; missing_value when it was not measured.
double battery_mv(std::uint16_t sum, const wire::Circuit& circuit);

/// Reads the codes of one logger. Without a valid calibration the gain counts as 1 and every
/// reading is marked uncalibrated; whatever was not measured is missing_value.
class Conversion {
  public:
    explicit Conversion(const LoggerFacts& facts);

    /// Potential of the hull against cell A or B, [mV].
    double cell_a_mv(const wire::Reading& reading, const ConverterState& now) const;
    double cell_b_mv(const wire::Reading& reading, const ConverterState& now) const;

    /// AC rms at cell A, [mV]. `source_ohm` is what the cell was last found to have, or missing.
    double ac_mv(const wire::Reading& reading, double source_ohm) const;

    /// Of the water; missing outside -5 to 50 degC, which is an open or shorted thermistor. [degC]
    double temperature_c(const wire::Reading& reading) const;
    double battery_mv(const wire::Reading& reading) const;

    /// What the logger itself knew against the reading.
    Quality quality(const wire::Reading& reading) const;

  private:
    struct Correction {
        double gain = 1;
        double offset_mv = 0;
    };
    double potential_mv(std::int16_t code, const Correction& cell, const ConverterState& now) const;

    wire::Circuit circuit_;
    std::optional<double> reference_then_; ///< there when calibrated, [codes]
    Correction cell_a_;
    Correction cell_b_;
};

} // namespace quaycell
