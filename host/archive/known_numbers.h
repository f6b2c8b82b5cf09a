// Which numbers of a logger are held, known to be bad, or spent.
#pragma once

#include "archive/sqlite.h"
#include "base/record_bytes.h"

#include <vector>

namespace quaycell {

/// The numbers from `tail` to before `next` that none of the ranges covers, in order.
std::vector<SequenceRange> not_covered(std::vector<SequenceRange> ranges, std::uint32_t tail,
                                       std::uint32_t next);

/// Gathered once, since a year of records has a quarter of a million blocks.
class KnownNumbers {
  public:
    enum class Count { held, held_or_spent, held_or_known_bad };

    struct Entry {
        std::uint16_t boot;
        bool is_held;
        bool is_spent;
        SequenceRange numbers;
    };

    explicit KnownNumbers(std::vector<Entry> entries);

    /// What belongs to the numbering in force, the newest restart first.
    std::vector<SequenceRange> ranges(Count count) const;

    /// The numbers from `tail` to before `next` that `more` covers and `fewer` does not.
    std::vector<SequenceRange> difference(Count more, Count fewer, std::uint32_t tail,
                                          std::uint32_t next) const;

  private:
    std::vector<Entry> entries_;
};

Result<KnownNumbers> known_numbers(sqlite::Database& database, std::uint32_t device);

} // namespace quaycell
