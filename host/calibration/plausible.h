// Whether logger and multimeter can at all be looking at the same source.
#pragma once

#include "calibration/sampling.h"
#include "calibration/steps.h"

#include <optional>

namespace quaycell {

/// What the multimeter across the source shows.
struct MeterReading {
    double dc_mv = missing_value;
    double ac_mv = missing_value; ///< rms, in steps with AC
};

/// What is wrong with the figure that was typed in for this step; nothing where it may be right.
std::optional<Error> mistyped(const Step& step, const MeterReading& meter);

/// What is wrong with what is joined to the logger: swapped leads, the other cell's jack, a lead
/// that is open, or something else that no calibration takes away. `conversion` may be of any
/// calibration of the cell: a few millivolts do not matter here.
std::optional<Error> misjoined(const Step& step, CellInput cell, const Sample& sample,
                               const MeterReading& meter, const Conversion& conversion,
                               const wire::Circuit& circuit);

} // namespace quaycell
