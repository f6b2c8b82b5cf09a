// What holds from one row of a trace to another.
#pragma once

#include "series/column.h"

#include <cstddef>
#include <vector>

namespace quaycell {

/// Rows of a trace: [first, end).
struct Rows {
    std::size_t first;
    std::size_t end;
};

/// A value for every row, that changes seldom.
template <typename Value>
class Stretches {
  public:
    /// From this row on. Rows do not fall.
    void change(std::size_t row, Value value) {
        if (!begins_.empty() && begins_.back().row == row)
            begins_.back().value = value;
        else if (begins_.empty() || begins_.back().value != value)
            begins_.push_back({row, value});
    }
    /// Of the last stretch.
    void set_last(Value value) { begins_.back().value = value; }

    Value operator[](std::size_t row) const {
        const auto after = std::ranges::upper_bound(begins_, row, {}, &Begin::row);
        return (after - 1)->value;
    }

    /// Calls `take` with every stretch; `end` is the number of rows.
    template <typename Take>
    void each(std::size_t end, Take take) const {
        for (std::size_t i = 0; i < begins_.size(); ++i)
            take(Rows{begins_[i].row, i + 1 < begins_.size() ? begins_[i + 1].row : end},
                 begins_[i].value);
    }

  private:
    struct Begin {
        std::size_t row;
        Value value;
    };
    std::vector<Begin> begins_;
};

} // namespace quaycell
