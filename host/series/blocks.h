// A signal in short blocks, each by its median: what change points and slow change are looked for
// in.
#pragma once

#include "base/time.h"
#include "series/column.h"

#include <cstdint>
#include <span>
#include <vector>

namespace quaycell {

/// There may be half a million of them: in few bytes.
struct Block {
    std::uint32_t first; ///< value
    std::uint32_t end;
    double median;
    Instant at;             ///< time of the first value
    std::uint32_t lasts_ms; ///< to its last value
    bool after_silence;

    Instant middle() const { return at + Milliseconds{lasts_ms} / 2; }
};

/// Whether values are missing between two times.
bool is_silent(Instant from, Instant to, Milliseconds interval);

struct Blocks {
    std::vector<Block> blocks;
    double noise = 0; ///< of one value
};

/// Blocks of some 20 s, longer where there would be too many; a silence ends one. The values are
/// gone through once.
Blocks blocks_of(const Column<Instant>& time, const Column<double>& value, Milliseconds interval);

/// How fast the signal changes besides its steps, round the block `at`, by the minute: one slope
/// that all levels within three quarters of an hour share, up to a silence. `begins` are the first
/// blocks of the levels, in order, and the end. 0 where the slope is not told from noise.
double slope_per_minute(std::span<const Block> blocks, std::span<const std::size_t> begins,
                        std::size_t at);

} // namespace quaycell
