// A signal in short blocks, each by its median: what change points and slow change are looked for
// in.
#pragma once

#include "base/time.h"
#include "series/column.h"
#include "series/robust.h"

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
inline bool is_silent(Instant from, Instant to, Milliseconds interval) {
    return 2 * (to - from) > 5 * interval;
}

struct Blocks {
    std::vector<Block> blocks;
    double noise = 0; ///< of one value
};

/// Puts values into blocks of some 20 s, longer where there would be too many; a silence ends one.
class BlockMaker {
  public:
    /// For at most so many values.
    BlockMaker(std::size_t values, Milliseconds interval);

    /// In order of time.
    void add(Instant time, double value) {
        const bool silent = count_ != 0 && is_silent(last_, time, interval_);
        if (held_.size() == length_ || silent) {
            close();
            begin_ = time;
            after_silence_ = silent;
        } else if (count_ == 0) {
            begin_ = time;
        }
        last_ = time;
        held_.push_back(value);
        // Pieces from all over the record tell its noise as well as all of it.
        if (count_ / column_piece % noise_every_ == 0) noise_.add(value);
        ++count_;
    }

    Blocks blocks() &&;

  private:
    void close();

    Milliseconds interval_;
    std::size_t length_; ///< of a block
    std::size_t noise_every_;
    std::size_t count_ = 0;
    std::vector<double> held_; ///< of the block that is open
    Instant begin_{};
    Instant last_{};
    bool after_silence_ = false;
    std::vector<Block> blocks_;
    NoiseMeter noise_;
};

/// The values are gone through once.
Blocks blocks_of(const Column<Instant>& time, const Column<double>& value, Milliseconds interval);

/// How fast the signal changes besides its steps, round the block `at`, by the minute: one slope
/// that all levels within three quarters of an hour share, up to a silence. `begins` are the first
/// blocks of the levels, in order, and the end. 0 where the slope is not told from noise.
double slope_per_minute(std::span<const Block> blocks, std::span<const std::size_t> begins,
                        std::size_t at);

} // namespace quaycell
