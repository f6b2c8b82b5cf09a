// The rows of a trace that do not show the hull, and the potentials without them.
#pragma once

#include "protection/by_constants.h"
#include "series/stretches.h"

namespace quaycell {

/// The rows that do not show the hull.
std::vector<Rows> hidden_rows(const std::vector<bool>& shows_hull);

/// The values, those of the hidden rows missing; in order, as hidden_rows() gives them.
Column<double> without_hidden(const Column<ByConstants>& standard_mv, std::vector<Rows> hidden);

} // namespace quaycell
