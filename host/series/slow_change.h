// What changes slowly, taken off a signal.
#pragma once

#include "series/column.h"
#include "series/cycles.h"
#include "series/settling.h"

namespace quaycell {

/// Cycles are computed minute by minute, with a straight line between: good to a few
/// ten-thousandths of their amplitude.
Column<double> without_cycles_of(const Column<Instant>& time, const Column<double>& value_mv,
                                 const Cycles& cycles);

Column<double> without_decays(const Column<Instant>& time, const Column<double>& value_mv,
                              const std::vector<Settling>& decays);

} // namespace quaycell
