// Readings put together to spells, one after another.
#pragma once

#include "series/judged.h"

#include <limits>
#include <optional>
#include <vector>

namespace quaycell {

/// How far a potential is beyond the limits that count; negative when it is inside all of them.
class LimitDistance {
  public:
    explicit LimitDistance(const Rules& rules);

    /// Infinitely far inside where there is no limit, or no potential.
    double beyond_mv(double standard_mv) const;

    /// The most negative of the limits that still protect.
    std::optional<double> strictest_mv() const;

  private:
    double least_negative_ = std::numeric_limits<double>::infinity(); ///< the strictest
    double most_negative_ = -std::numeric_limits<double>::infinity();
};

class SpellMaker {
  public:
    explicit SpellMaker(const Rules& rules) : distance_(rules) {}

    /// In order of time.
    void add(Instant time, Milliseconds stands_for, Verdict verdict, double value_mv);

    std::vector<Spell> spells() && { return std::move(spells_); }

  private:
    LimitDistance distance_;
    std::vector<Spell> spells_;
    double worst_beyond_mv_ = 0; ///< of the last one
};

} // namespace quaycell
