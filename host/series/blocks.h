// A signal in short blocks, each by its median: what change points and slow change are looked for
// in.
#pragma once

#include "base/time.h"

#include <span>
#include <vector>

namespace quaycell {

struct Block {
    std::size_t first; ///< value
    std::size_t end;
    double median;
};

/// Whether values are missing before this one.
bool silent_before(std::span<const Instant> time, std::size_t i, Milliseconds interval);

/// Blocks of some 20 s, longer where there would be too many; a silence ends one.
std::vector<Block> blocks_of(std::span<const Instant> time, std::span<const double> value,
                             Milliseconds interval);

/// How fast the signal changes besides its steps, round the block `at`, by the minute: one slope
/// that all levels within three quarters of an hour share, up to a silence. `begins` are the first
/// blocks of the levels, in order, and the end. 0 where the slope is not told from noise.
double slope_per_minute(std::span<const Block> blocks, std::span<const Instant> time,
                        Milliseconds interval, std::span<const std::size_t> begins, std::size_t at);

} // namespace quaycell
