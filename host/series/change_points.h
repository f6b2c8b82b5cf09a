// Where a noisy level changes.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

namespace quaycell {

/// The places at which a new level begins, in order: those for which the squared deviations from
/// each level's mean, with the penalty for every change, are least. The exact answer of optimal
/// partitioning (Jackson et al. 2005) by functional pruning (Maidstone, Hocking, Rigaill, Fearnhead
/// 2017, "On optimal multiple changepoint algorithms for large data"; titles from memory), whose
/// time stays near linear where nothing changes. For values in units of their noise a penalty of
/// 2 ln n is usual. Values must be finite.
std::vector<std::size_t> change_points(std::span<const double> values, double penalty);

} // namespace quaycell
