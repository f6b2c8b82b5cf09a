// Stretches in which a trace does not show the hull in its water.
#pragma once

#include "series/readings.h"

namespace quaycell {

/// Readings [first, end): a lead open, the cell out of the water, the leads swapped.
struct Disturbance {
    std::size_t first;
    std::size_t end;
    EventKind kind;
    std::string why; ///< in plain words
};

/// By what no metal shows: values beyond any metal's, a dead zero, the usual value with its sign
/// turned, noise many times the usual, a source resistance that no wet cell has, and what the
/// logger itself found. In order, none overlapping. A single odd reading is none.
std::vector<Disturbance> disturbances_of(const Readings& trace, Milliseconds interval);

} // namespace quaycell
