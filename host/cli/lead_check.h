// Whether the cell and its leads give a believable reading now.
#pragma once

#include "base/result.h"
#include "link/logger.h"

namespace quaycell {

/// Waits for a settled live reading and returns it, [mV] of the hull against the cell.
/// Error: refused, when the converter is silent, beyond its range or does not settle, or when the
/// potential is one that a lead at fault gives. An open lead is not found: the input filter holds
/// the last value.
Result<double> check_lead(Logger& logger);

} // namespace quaycell
