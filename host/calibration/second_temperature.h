// What a calibration gains when the logger is compared once more, much colder or warmer.
#pragma once

#include "calibration/comparison.h"

namespace quaycell {

/// Closer together, the last digit of a multimeter looks like a drift: 0.1 mV of 1.1 V over 15 K
/// is 6 ppm/K. Our judgement.
constexpr double least_apart_k = 15;

class SecondTemperature {
  public:
    /// `before` is valid, as the logger holds it.
    SecondTemperature(const wire::Circuit& circuit, const wire::Calibration& before)
        : circuit_(circuit), record_(before) {}

    /// The drift of this cell's gain, held against its limit; taken over when accepted. Another
    /// cell keeps what it has. Error: refused, when the temperatures are too close, the cell was
    /// not compared at the first, or the multimeter cannot be at the same source.
    Result<std::vector<Check>> take(CellInput cell, const Sample& sample,
                                    const MeterReading& meter);

    /// With what was taken.
    wire::Calibration calibration() const;

  private:
    wire::Circuit circuit_;
    wire::Calibration record_;
};

} // namespace quaycell
