// How long each reading stands for the time after it, and where the trace is silent.
#pragma once

#include "base/time.h"
#include "series/column.h"

#include <span>
#include <vector>

namespace quaycell {

/// A silence: [from, to).
struct Gap {
    Instant from;
    Instant to;
};

struct Coverage {
    Column<Milliseconds> stands_for;
    std::vector<Gap> gaps;
    /// The nominal one, the longest of those that at least a twentieth of the time is kept to; 0
    /// where nobody knows: below three readings, and where all lie days apart.
    Milliseconds interval{0};
};

/// Each reading stands until the next one, but a silence of more than 2.5 nominal intervals (two
/// readings missed) is a gap: the reading before it then stands for one interval, as does the last.
/// The interval of a place is the median of the 31 spacings round it, so that it may change.
/// Below three readings nobody knows how long they are meant to stand: for no time. What is more
/// than 36 h is no interval but a gap, between two readings, too. Times must rise.
Coverage coverage_of(const Column<Instant>& time);

} // namespace quaycell
