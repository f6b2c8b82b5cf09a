// Whether cell A and cell B go on agreeing.
#pragma once

#include "series/readings.h"

#include <optional>

namespace quaycell {

/// Two cells in one water differ by a steady amount. Tells when the difference has left that of the
/// beginning by more than `cells_apart_mv` and stays away for an hour or to the end of the record.
/// `shows_hull` has one entry per reading.
std::vector<Event> cells_that_part(const Readings& trace, const std::vector<bool>& shows_hull);

/// A cell that differs by more from another one is rejected (from memory; a water tank guide reads
/// the same).
inline constexpr double cells_apart_mv = 10;

} // namespace quaycell
