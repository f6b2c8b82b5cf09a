// The tide's and the day's part of a potential.
#pragma once

#include "base/time.h"
#include "series/column.h"

#include <span>
#include <string_view>
#include <vector>

namespace quaycell {

/// One cosine: amplitude_mv cos(2 pi (t - high_at) / period).
struct Cycle {
    std::string_view name; ///< "tide"
    double period_h;
    double amplitude_mv;
    double uncertainty_mv; ///< standard, of the amplitude
    Instant high_at;       ///< when it is least negative, the first time in the record
};

/// What was found, and what could not be looked for.
struct Cycles {
    std::vector<Cycle> found; ///< those that stand out of the noise
    std::string why_none;     ///< why the record tells none, or not all; empty when it tells all

    double at_mv(Instant time) const;
};

/// Fits tide (12.42 h, 12 h, 24.84 h) and day (24 h) together, by least squares, to what is left
/// between the steps: each level keeps its own mean, all share one slow drift. Two periods are
/// fitted both only where the record is long enough to tell them apart (Rayleigh): 12.42 and 12 h
/// from 14.8 days on, 24.84 and 24 h from 29.6 days on; below, one counts for both. `level` numbers
/// the stretch between steps that a value lies in, rising. Uncertainties allow for residuals that
/// resemble their neighbours.
Cycles cycles_of(const Column<Instant>& time, const Column<double>& value_mv,
                 const Column<std::size_t>& level);

} // namespace quaycell
