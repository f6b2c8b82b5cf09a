// Raw codes of a logger to physical values.
#pragma once

#include "series/logger_facts.h"
#include "series/trace.h"

#include <cmath>
#include <span>

namespace quaycell {

/// What the converter calls zero and what it makes of its reference, by a Check record, [codes].
struct ConverterState {
    double zero = 0;
    std::optional<double> reference; ///< less the zero
};

/// Nothing when the check holds no conversion.
std::optional<ConverterState> state_of(const wire::Check& check);

enum class CellInput { a, b };

/// Battery voltage from its raw sum, [mV]; missing_value when it was not measured.
double battery_mv(std::uint16_t sum, const wire::Circuit& circuit);

/// Reads the codes of one logger. Without a valid calibration the gain counts as 1 and every
/// reading is marked uncalibrated; so does the gain of a cell B that was not compared. Whatever was
/// not measured is missing_value.
class Conversion {
  public:
    explicit Conversion(const LoggerFacts& facts);

    /// How the codes of a cell are read while the converter stays as it is.
    struct Line {
        double zero;
        double mv_per_code;       ///< at the board temperature of the calibration
        double mv_per_code_per_k; ///< for each kelvin above it
        double temperature_c;     ///< that temperature
        double offset_mv;

        /// See potential_mv().
        double mv_at(double code, double board_c) const;

        /// The same of many codes, each with the board's.
        void convert(std::span<const std::int32_t> code, std::span<const std::int32_t> board,
                     std::span<double> mv) const;
    };
    Line line(CellInput cell, const ConverterState& now) const;

    /// Potential of the hull against cell A or B, [mV].
    double cell_a_mv(const wire::Reading& reading, const ConverterState& now) const;
    double cell_b_mv(const wire::Reading& reading, const ConverterState& now) const;

    /// The same of a code that need not be whole. `board_c` is the temperature of the board; where
    /// it is missing, that of the calibration counts. [mV]
    double potential_mv(CellInput cell, double code, double board_c,
                        const ConverterState& now) const;

    /// What counts before the converter's first check: what the calibration found, or nothing.
    const ConverterState& state_then() const { return then_; }

    /// AC rms at cell A, [mV]. `source_ohm` is what the cell was last found to have, or missing.
    double ac_mv(const wire::Reading& reading, double source_ohm) const;
    /// The same at either cell, of its code.
    double ac_mv(CellInput cell, std::uint16_t code, double source_ohm) const;

    /// Of the water; missing outside -5 to 50 degC, which is an open or shorted thermistor. [degC]
    double temperature_c(const wire::Reading& reading) const;
    double battery_mv(const wire::Reading& reading) const;

    /// What the logger itself knew against the reading.
    Quality quality(const wire::Reading& reading) const;

  private:
    struct Correction {
        double gain = 1;
        double gain_drift_per_k = 0;
        double offset_mv = 0;
        double ac_gain = 1;
        double ac_floor_mv = 0;
    };
    static Correction correction_of(const wire::CalibratedInput& input, double ac_floor_mv);
    const Correction& of(CellInput cell) const { return cell == CellInput::a ? cell_a_ : cell_b_; }
    double cell_mv(CellInput cell, std::int16_t code, const wire::Reading& reading,
                   const ConverterState& now) const;

    wire::Circuit circuit_;
    bool calibrated_ = false;
    ConverterState then_; ///< its reference is there when calibrated
    double temperature_then_c_ = 0;
    Correction cell_a_;
    Correction cell_b_;
};

/// Temperature of the board, [degC]; missing where the clock chip did not tell it.
double board_c(std::int16_t code);

inline double Conversion::Line::mv_at(double code, double board_c) const {
    const double warmer_k = std::isnan(board_c) ? 0 : board_c - temperature_c;
    return -(code - zero) * (mv_per_code + mv_per_code_per_k * warmer_k) + offset_mv;
}

} // namespace quaycell
