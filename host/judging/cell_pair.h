// Two cells on one logger, side by side in the same water.
#pragma once

#include "base/result.h"
#include "link/logger.h"

namespace quaycell {

/// Voltage of cell A against cell B, [mV]: the median of a few settled live readings, of which both
/// are taken against the same metal in that water. Error: refused, when a cell or the clip on the
/// metal does not answer, or the readings do not settle.
Result<double> voltage_between_cells_mv(Logger& logger);

} // namespace quaycell
