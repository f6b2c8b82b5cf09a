// The readings of a trace that show the hull, without those between.
#pragma once

#include "series/blocks.h"
#include "series/readings.h"

namespace quaycell {

/// Numbered by themselves from 0 on; rows are those of the trace.
class Shown {
  public:
    Shown() = default;
    /// Those with `shows_hull` and a finite value. All are put into blocks on the way, since it
    /// takes long to make them.
    Shown(const Readings& trace, const Column<double>& standard_mv,
          const std::vector<bool>& shows_hull, BlockMaker& blocks);

    std::size_t size() const { return time.size(); }
    std::size_t row_of(std::size_t i) const;

    /// A column of theirs as one of the trace, missing where none of them is.
    Column<double> by_row(const Column<double>& values) const;

    Column<Instant> time;
    Column<double> value;            ///< [mV on agcl/seawater]
    std::vector<std::size_t> begins; ///< the first one of each deployment

  private:
    /// So many in a row.
    struct Run {
        std::size_t row;
        std::size_t first;
        std::size_t count;
    };
    using Runs = std::shared_ptr<const std::vector<Run>>;

    template <typename Value>
    static Column<Value> in_runs(const Runs& runs, std::size_t size, const Column<Value>& by_row);

    Runs runs_;
    std::size_t rows_ = 0;
};

/// How many of the places, which rise, are not after each value: 0 before the first.
Column<std::size_t> counted(std::size_t size, std::vector<std::size_t> places);

/// The first value that is not before an instant. Times rise.
std::size_t first_from(const Column<Instant>& time, Instant instant);

} // namespace quaycell
