// The converter's zero and reference while one looks on.
#pragma once

#include "series/conversion.h"

namespace quaycell {

/// A mean over the last sixteen or so pairs of codes that came with live readings: one code of the
/// reference is 61 ppm, so that a single pair would shake the reading more than it corrects it.
class RunningState {
  public:
    /// Begins with what the calibration found.
    explicit RunningState(const Conversion& conversion) : now_(conversion.state_then()) {}

    /// Does nothing where the reading brings no new pair.
    void take(const wire::LiveReading& live);

    const ConverterState& now() const { return now_; }

  private:
    ConverterState now_;
    int pairs_ = 0;
};

} // namespace quaycell
