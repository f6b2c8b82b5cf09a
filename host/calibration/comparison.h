// A logger compared with an instrument, step by step, until there is a calibration.
#pragma once

#include "calibration/limits.h"
#include "calibration/line.h"
#include "calibration/plausible.h"

#include <array>

namespace quaycell {

/// What a logger is compared with.
struct Instrument {
    std::string name;   ///< at most longest_instrument_name bytes of UTF-8
    double expanded_mv; ///< its uncertainty (k = 2) at the ends of the range, 0 to 65 mV
};
constexpr std::size_t longest_instrument_name = sizeof wire::Calibration::instrument;
constexpr double least_known_instrument_mv = 65;

class Comparison {
  public:
    explicit Comparison(const wire::Circuit& circuit);

    /// What this step finds of the cell, each value held against its limit; taken over when all are
    /// accepted. The steps of cell A come first, in their order; a later one may be repeated or
    /// left out. Error: refused, when logger and multimeter cannot be looking at the same source.
    Result<std::vector<Check>> take(CellInput cell, const Step& step, const Sample& sample,
                                    const MeterReading& meter);

    /// Whether all bits of the converter have changed in what was taken.
    Check bits_check() const;

    /// What was found so far, to be kept for a year from `unix_s` on.
    wire::Calibration calibration(const Instrument& instrument, std::uint32_t unix_s) const;

  private:
    /// Beside the record, of one cell.
    struct Kept {
        ComparedPoint first{};       ///< point of the line
        double error_at_1100_mv = 0; ///< what shifts are counted from
    };

    std::vector<Check> found(CellInput cell, const Step& step, const Sample& sample,
                             const MeterReading& meter, wire::Calibration& record,
                             Kept& kept) const;
    std::vector<Check> converter_checks(CellInput cell, const Sample& sample,
                                        wire::Calibration& record) const;
    std::vector<Check> line(CellInput cell, const Sample& sample, const MeterReading& meter,
                            wire::Calibration& record, const Kept& kept) const;
    std::vector<Check> stimulus(CellInput cell, const Step& step, const Sample& sample,
                                wire::Calibration& record) const;
    std::vector<Check> ac(CellInput cell, const Step& step, const Sample& sample,
                          const MeterReading& meter, wire::Calibration& record,
                          const Kept& kept) const;
    Conversion conversion(const wire::Calibration& record) const {
        return Conversion({0, circuit_, record});
    }
    double shown_mv(const wire::Calibration& record, CellInput cell, const Sample& sample) const;
    double lsb_mv() const { return circuit_.converter_lsb_nv * 1e-6; }

    wire::Circuit circuit_;
    wire::Calibration record_{};
    std::array<Kept, 2> kept_{};
    BitsSeen bits_;
};

/// The part of a record that is about one cell.
wire::CalibratedInput& input_of(wire::Calibration& calibration, CellInput cell);
const wire::CalibratedInput& input_of(const wire::Calibration& calibration, CellInput cell);

/// `value` in the units of a record; the limits keep it in range. Nothing that is no number.
std::int16_t in_record(double value);

} // namespace quaycell
