// Steps from one level of a signal to another.
#pragma once

#include "base/time.h"
#include "series/blocks.h"
#include "series/column.h"

namespace quaycell {

/// What counts as a step rather than as noise or slow change; the signal's unit.
struct StepLimits {
    double least;                  ///< smaller ones are not told
    double noises;                 ///< nor those below so many times the noise of one value
    double slow_per_minute;        ///< the signal may drift so fast without a step
    std::size_t fewest_values = 2; ///< a level that holds for fewer is a slip
};

/// The signal leaves one level at a value and goes on at another.
struct LevelStep {
    std::size_t at; ///< the first value on the new level
    double height;
    bool in_silence; ///< it fell between two values that are far apart: nobody knows when
};

/// Finds the change points of block medians (change_points.h), then drops, the weakest first, those
/// whose levels on both sides do not differ by enough for their noise, resembling neighbours
/// included (level_noise.h), and beside the slope round them (blocks.h), and places the others to
/// the value. Times rise, values are finite. `interval`
/// is the nominal one.
std::vector<LevelStep> level_steps(const Column<Instant>& time, const Column<double>& value,
                                   Milliseconds interval, const StepLimits& limits);

/// The same of values that are in blocks already.
std::vector<LevelStep> level_steps(const Blocks& blocks, const Column<Instant>& time,
                                   const Column<double>& value, Milliseconds interval,
                                   const StepLimits& limits);

} // namespace quaycell
