// Readings put together to spells, one after another.
#pragma once

#include "series/judged.h"

#include <array>
#include <limits>
#include <optional>
#include <string_view>
#include <vector>

namespace quaycell {

/// How far a potential is beyond the limits that count; negative when it is inside all of them.
class LimitDistance {
  public:
    explicit LimitDistance(const Rules& rules);

    /// Infinitely far inside where there is no limit, or no potential.
    double beyond_mv(double standard_mv) const;

    /// The end of the band toward less or toward more negative: the strictest limit on that side.
    std::optional<double> end_less_negative_mv() const;
    std::optional<double> end_more_negative_mv() const;

  private:
    double least_negative_ = std::numeric_limits<double>::infinity(); ///< the strictest
    double most_negative_ = -std::numeric_limits<double>::infinity();
};

/// Readings near a limit may change their verdict with each of them. A spell goes on until other
/// verdicts have held for so much longer than its own since some reading; then it ends with that
/// reading, and the one of them that held longest begins. (Our judgement; alarms that chatter are
/// damped by such delays.)
inline constexpr Milliseconds other_spell_after = std::chrono::minutes{5};
/// The same in words, for whoever reads a list of spells.
inline constexpr std::string_view spell_rule =
    "a spell goes on until another verdict has held 5 min longer than its own since";

class SpellMaker {
  public:
    explicit SpellMaker(const Rules& rules) : distance_(rules) {}

    /// In order of time. A reading that does not follow the one before without a gap begins a
    /// spell.
    void add(Instant time, Milliseconds stands_for, Verdict verdict, double value_mv);

    std::vector<Spell> spells() &&;

  private:
    static constexpr std::size_t verdicts = static_cast<std::size_t>(Verdict::no_verdict) + 1;

    /// Readings that follow one another.
    struct Part {
        Instant from;
        Instant to;
        std::array<Milliseconds, verdicts> held{};
        double worst_mv = missing_value;
        double beyond_mv = 0; ///< of the worst
    };

    void take(Part& part, Instant end, Milliseconds stands_for, Verdict verdict,
              double value_mv) const;
    static void join(Part& part, const Part& next);
    void tell(const Part& part, Verdict verdict);
    void close();

    LimitDistance distance_;
    std::vector<Spell> spells_;
    Part spell_{};    ///< up to where the verdict of the spell was last not behind
    Part doubtful_{}; ///< since then, while others are ahead
    bool is_open_ = false;
    Verdict verdict_ = Verdict::no_verdict;
    Milliseconds ahead_{0}; ///< by how much the others are
};

} // namespace quaycell
