// How much values that follow one another resemble each other.
#pragma once

#include <span>

namespace quaycell {

/// Lag-1 autocorrelation about the mean, -1 to 1, as NIST StRD certifies it: the products of
/// neighbours over the squares of all. 0 where all values are equal.
double lag_1_autocorrelation(std::span<const double> values);

} // namespace quaycell
