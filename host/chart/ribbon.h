// How far the true potential may lie from what was read, as a ribbon round the trace.
#pragma once

#include "chart/columns.h"

namespace quaycell {

/// The ribbon of `expanded_mv` to each side of the lines that drawn_lines() made. A reading that
/// stands alone gets a bar.
Group draw_ribbon(const Plot& plot, const std::vector<std::vector<Point>>& lines,
                  double expanded_mv);

} // namespace quaycell
