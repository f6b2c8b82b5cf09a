// What a trace says: the share of time in each verdict, spells, gaps, statistics.
#pragma once

#include "protection/judge.h"
#include "series/band_exit.h"
#include "series/coverage.h"
#include "series/events.h"
#include "series/statistics.h"
#include "series/stretches.h"
#include "series/trend.h"

namespace quaycell {

/// Fractions of the time covered, of the readings where they cover no time; they sum to 1, or are
/// all 0 for an empty trace.
struct TimeShare {
    double under_protected = 0;
    double protected_ = 0;
    double over_protected = 0;
    double undecided = 0;
    double no_verdict = 0;

    double& of(Verdict verdict);
    double of(Verdict verdict) const;
};

/// An unbroken time in which one verdict held most of the time (SpellMaker).
struct Spell {
    Instant from;
    Instant to;
    Verdict verdict;
    double held; ///< what fraction of it; of readings that stand for no time 1
    /// The potential in it that went farthest beyond a limit of the rules, or came nearest to one,
    /// [mV on agcl/seawater]; missing_value when there was none.
    double worst_mv;
};

/// What is usual while shore power is one way or the other, and of the AC; missing_value where
/// there is none.
struct ShoreStatistics {
    double plugged_median_mv;
    double unplugged_median_mv;
    double ac_p95_mv;
    double ac_highest_mv;
};

struct JudgedTrace {
    /// On agcl/seawater, the less negative of both conversions; missing where the reading does not
    /// show the hull.
    Column<double> standard_mv;
    Stretches<Verdict> verdict;
    double covered_s = 0; ///< without the gaps; 0 below three readings
    TimeShare share;
    std::vector<Gap> gaps;
    Statistics statistics;
    ShoreStatistics shore;
    Cycles cycles;
    std::vector<Settling> settling;
    Trend trend;                       ///< of the undisturbed level, without cycles
    std::optional<BandExit> band_exit; ///< where that leads
    std::vector<Spell> spells;
    /// The worst verdict, in the order of Severity, that held for more than the share of the time
    /// covered that counts; so that "protected" says it of nearly all the time.
    Verdict overall = Verdict::no_verdict;
    /// Those of the trace, what happened, and the silences, in order of time.
    std::vector<Event> events;
    /// Of the readings with the overall verdict, the one nearest to their median; where that is
    /// no_verdict, of those with the verdict that held longest besides, if there are any.
    std::optional<std::size_t> typical_row;
    /// Readings with a potential that do not show the hull; they have no verdict.
    std::size_t not_of_hull = 0;
    std::size_t impossible = 0; ///< readings beyond what any metal shows; they have none either
};

/// The share of time that a verdict must exceed to count: borrowed from AS 2832.1, which allows 5 %
/// of the time positive of the criterion (from memory); no rule for a moored boat was found.
constexpr double default_worst_share = 0.05;

/// Judges every reading. `standard_mv` (standard_potential_mv) and `expanded_uncertainty_mv` (k =
/// 2) have one value per reading; missing_value in either gives no verdict. Gaps count for no
/// verdict at all.
JudgedTrace judge_trace(const Readings& trace, const Rules& rules,
                        const Column<ByConstants>& standard_mv,
                        const Column<double>& expanded_uncertainty_mv,
                        double worst_share = default_worst_share,
                        std::span<const Refit> refits = {});

} // namespace quaycell
