// The day after launch or after new anodes, and the decay that it shows.
#pragma once

#include "base/time.h"
#include "series/column.h"

#include <optional>
#include <span>
#include <string>
#include <vector>

namespace quaycell {

/// What a hull settles after, as somebody knows.
struct Refit {
    WhenDone when;
    std::string what; ///< "launched", "new anode at shaft"
};

/// A hull counts as settling for so long (12 to 24 h after hanging test anodes, Gerr, Masthead
/// 2011; 5 to 24 h, a surveyors' lexicon; both read).
inline constexpr Milliseconds settles_for = std::chrono::hours{24};

/// size_mv exp(-(t - from) / time_constant), above the level that it settles to.
struct Settling {
    Instant from;
    double size_mv;
    double time_constant_h;

    double at_mv(Instant time) const; ///< none before `from`
};

/// Looks at the first day and a half of a record for a potential that grows more negative, fast at
/// first and slower with time. Values without cycles and steps. Nothing where a straight line does
/// as well.
std::optional<Settling> settling_of(const Column<Instant>& time, const Column<double>& value_mv,
                                    std::size_t start = 0);

/// A time in which a hull settles: in the day after a refit, or after a beginning that shows it.
struct SettlingTime {
    Instant from; ///< of the first reading in it
    Instant to;
    std::string why;
    std::optional<Settling> decay; ///< where it shows
};

/// In order of time; refits whose days touch are told together. Values without cycles and steps;
/// `beginnings` are the values that a deployment begins with, the first one among them.
std::vector<SettlingTime> settling_times(const Column<Instant>& time,
                                         const Column<double>& value_mv,
                                         std::span<const Refit> refits,
                                         std::span<const std::size_t> beginnings);

} // namespace quaycell
