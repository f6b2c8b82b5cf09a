#include "series/judged.h"

#include "base/aside.h"
#include "series/hidden_rows.h"
#include "series/severities.h"
#include "series/spells.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>
#include <limits>
#include <numeric>

namespace quaycell {

namespace {

double TimeShare::*part_of(Verdict verdict) {
    switch (verdict) {
    case Verdict::under_protected:
        return &TimeShare::under_protected;
    case Verdict::protected_:
        return &TimeShare::protected_;
    case Verdict::over_protected:
        return &TimeShare::over_protected;
    case Verdict::undecided:
        return &TimeShare::undecided;
    case Verdict::no_verdict:
        break;
    }
    return &TimeShare::no_verdict;
}

/// Fractions of the time covered, by Severity.
using SeverityShare = std::array<double, 6>;

double& share_in(SeverityShare& share, Severity severity) {
    return share.at(static_cast<std::size_t>(severity));
}

constexpr std::array from_worst{Severity::over_protected_destroying,
                                Severity::under_protected,
                                Severity::over_protected_elsewhere,
                                Severity::undecided,
                                Severity::no_verdict,
                                Severity::protected_};

TimeShare by_verdict(SeverityShare share) {
    TimeShare sum;
    for (const Severity severity : from_worst)
        sum.of(verdict_of(severity)) += share_in(share, severity);
    return sum;
}

Verdict overall_of(SeverityShare share, double worst_share) {
    // Where over-protection destroys it is over-protection all the more.
    SeverityShare counted = share;
    share_in(counted, Severity::over_protected_elsewhere) +=
        share_in(share, Severity::over_protected_destroying);
    for (const Severity severity : from_worst)
        if (share_in(counted, severity) > worst_share) return verdict_of(severity);
    // Nothing held that long: what held longest.
    return verdict_of(
        *std::max_element(from_worst.begin(), from_worst.end(), [&counted](Severity a, Severity b) {
            return share_in(counted, a) < share_in(counted, b);
        }));
}

/// Adds an event for every silence; where the records told of a loss there, both become one.
std::vector<Event> with_silences(std::vector<Event> events, const Coverage& coverage) {
    const std::size_t told = events.size();
    for (const Gap& gap : coverage.gaps) {
        const auto length = std::chrono::duration_cast<std::chrono::seconds>(gap.to - gap.from);
        std::string why = fmt::format("no reading for {}", to_text(length));
        const Instant last_reading = gap.from - coverage.interval;
        const auto loss =
            std::find_if(events.begin(), events.begin() + static_cast<std::ptrdiff_t>(told),
                         [&](const Event& event) {
                             return event.kind == EventKind::gap && event.time >= last_reading &&
                                    event.time < gap.to;
                         });
        if (loss != events.begin() + static_cast<std::ptrdiff_t>(told))
            loss->why = fmt::format("{}: {}", why, loss->why);
        else
            events.push_back({gap.from, EventKind::gap, missing_value, std::move(why)});
    }
    std::stable_sort(events.begin(), events.end(),
                     [](const Event& a, const Event& b) { return a.time < b.time; });
    return events;
}

/// Percentiles of potentials: classes narrower than a step of the logger's converter, beyond what
/// any metal shows, too.
Percentiles potentials() {
    constexpr double beyond_mv = 1000;
    constexpr std::size_t classes = std::size_t{1} << 17U;
    return {possible_mv.low - beyond_mv, possible_mv.high + beyond_mv, classes};
}
/// The same of AC; a distribution takes what lies beyond, too.
Percentiles pickups() {
    constexpr double usual_up_to_mv = 1000;
    constexpr std::size_t classes = std::size_t{1} << 16U;
    return {0, usual_up_to_mv, classes};
}

/// The potentials by what they were judged and how shore power was, each reading in one of them.
class SortedPotentials {
  public:
    Percentiles& of(Verdict verdict, ShorePower power) {
        auto& part =
            parts_.at(static_cast<std::size_t>(verdict)).at(static_cast<std::size_t>(power));
        if (!part) part = potentials();
        return *part;
    }

    /// Those of the parts that are asked for, together.
    template <typename Wanted>
    Percentiles together(Wanted wanted) const {
        Percentiles sum = potentials();
        for (std::size_t verdict = 0; verdict < verdicts; ++verdict)
            for (std::size_t power = 0; power < powers; ++power) {
                const auto& part = parts_.at(verdict).at(power);
                if (part && wanted(Verdict(verdict), ShorePower(power))) sum.add(*part);
            }
        return sum;
    }

  private:
    static constexpr std::size_t verdicts = std::size_t(Verdict::no_verdict) + 1;
    static constexpr std::size_t powers = std::size_t(ShorePower::plugged) + 1;

    std::array<std::array<std::optional<Percentiles>, powers>, verdicts> parts_;
};

/// All that the readings tell in going through them once.
class Summary {
  public:
    Summary(const Readings& trace, const Rules& rules, const Column<ByConstants>& standard_mv,
            const Column<double>& expanded_uncertainty_mv, const Coverage& coverage,
            const Happenings& happenings, JudgedTrace& judged)
        : trace_(trace), rules_(rules), by_constants_mv_(standard_mv),
          uncertainty_mv_(expanded_uncertainty_mv), time_(trace.time),
          stands_for_(coverage.stands_for), ac_mv_column_(trace.ac_mv), happenings_(happenings),
          judged_(judged), alike_(coverage.interval.count() == 0) {}

    void judge(double worst_share) {
        // Half of the work is making the readings, the other half adding them up.
        constexpr std::size_t most_waiting = 4;
        Sums sums(rules_, judged_.verdict);
        Aside<JudgedPiece> adding([&](JudgedPiece& piece) { add(piece, sums); }, most_waiting);
        Severities severities(rules_);
        JudgedPiece next;
        each_piece([&](const Rows& rows, ShorePower power) {
            next.rows = rows;
            next.power = power;
            judge_piece(next, severities);
            next = adding.give(std::move(next));
        });
        adding.finish();
        finish(std::move(sums), worst_share);
    }

    void tell_statistics() {
        const bool any = most_negative_mv_ <= least_negative_mv_;
        const Percentiles all = potentials_.together([](Verdict, ShorePower) { return true; });
        judged_.statistics = {all.percentile(50), all.percentile(5), all.percentile(95),
                              any ? most_negative_mv_ : missing_value,
                              any ? least_negative_mv_ : missing_value};
        judged_.shore = {median_with(ShorePower::plugged), median_with(ShorePower::unplugged),
                         ac_mv_.percentile(95), highest_ac_mv_};
        const Verdict typical = typical_verdict();
        if (typical == Verdict::no_verdict) return;
        const Percentiles those = potentials_.together(
            [typical](Verdict verdict, ShorePower) { return verdict == typical; });
        find_typical_row(typical, those.percentile(50), those.class_width());
    }

  private:
    /// Calls `take` with rows of one piece of the columns and one state of shore power at a time.
    template <typename Take>
    void each_piece(Take take) const {
        happenings_.shore_power.each(trace_.time.size(), [&](const Rows& rows, ShorePower power) {
            for (std::size_t first = rows.first; first < rows.end;) {
                const std::size_t piece_end = first - first % column_piece + column_piece;
                const std::size_t end = std::min(rows.end, piece_end);
                take(Rows{first, end}, power);
                first = end;
            }
        });
    }

    /// Some rows as they were judged. Not a number where there is none or it does not count.
    struct JudgedPiece {
        Rows rows{};
        ShorePower power{};
        std::vector<Severity> severity;
        std::vector<double> value_mv;
    };

    void judge_piece(JudgedPiece& piece, Severities& severities) {
        const Rows& rows = piece.rows;
        const std::size_t count = rows.end - rows.first;
        piece.severity.resize(count);
        piece.value_mv.resize(count);
        const auto standard_mv = by_constants_mv_.from(rows.first);
        const auto uncertainty_mv = uncertainty_mv_.from(rows.first);
        for (std::size_t i = 0; i < count; ++i) {
            const bool shows = happenings_.shows_hull[rows.first + i];
            piece.severity[i] =
                shows ? severities.of(standard_mv[i], uncertainty_mv[i]) : Severity::no_verdict;
            piece.value_mv[i] = shows ? standard_mv[i].less_negative_mv() : missing_value;
            if (piece.severity[i] == Severity::no_verdict) note_why_none(standard_mv[i], shows);
        }
    }

    /// What is added up reading by reading.
    struct Sums {
        Sums(const Rules& rules, Stretches<Verdict>& verdicts) : verdict(verdicts), spells(rules) {}

        void flush() {
            if (alike) share_in(share, *alike) += static_cast<double>(weighs);
            weighs = 0;
        }

        Stretches<Verdict>& verdict;
        SpellMaker spells;
        Milliseconds covered{0};
        SeverityShare share{};
        std::optional<Severity> alike; ///< the same in a row, which weighs so much
        std::int64_t weighs = 0;
    };

    void add(const JudgedPiece& piece, Sums& sums) {
        // Rows of one piece of the columns, so that all are at hand.
        const auto time = time_.from(piece.rows.first);
        const auto stands_for = stands_for_.from(piece.rows.first);
        for (std::size_t i = 0; i < piece.severity.size(); ++i) {
            const Severity severity = piece.severity[i];
            const Verdict verdict = verdict_of(severity);
            if (severity != sums.alike) {
                sums.verdict.change(piece.rows.first + i, verdict);
                sums.flush();
                sums.alike = severity;
            }
            const Milliseconds stands = stands_for[i];
            const std::int64_t weight = weight_of(stands);
            const double value_mv = piece.value_mv[i];
            sums.weighs += weight;
            sums.covered += stands;
            sums.spells.add(time[i], stands, verdict, value_mv);
            if (std::isnan(value_mv)) continue;
            most_negative_mv_ = std::min(most_negative_mv_, value_mv);
            least_negative_mv_ = std::max(least_negative_mv_, value_mv);
            potentials_.of(verdict, piece.power).add(value_mv, weight);
        }
        if (!ac_mv_column_.empty()) add_pickups(piece, stands_for);
    }

    void finish(Sums sums, double worst_share) {
        sums.flush();
        const double total = std::accumulate(sums.share.begin(), sums.share.end(), 0.0);
        if (total != 0)
            for (double& part : sums.share)
                part /= total;
        judged_.covered_s = static_cast<double>(sums.covered.count()) / 1000.0;
        judged_.share = by_verdict(sums.share);
        judged_.spells = std::move(sums.spells).spells();
        if (!trace_.time.empty()) judged_.overall = overall_of(sums.share, worst_share);
    }

    std::int64_t weight_of(Milliseconds stands_for) const {
        return alike_ ? 1 : stands_for.count();
    }

    void note_why_none(ByConstants standard_mv, bool shows) {
        if (std::isnan(standard_mv.less_negative_mv())) return;
        judged_.not_of_hull += !shows;
        judged_.impossible += !is_possible(standard_mv);
    }

    void add_pickups(const JudgedPiece& piece, std::span<const Milliseconds> stands_for) {
        const auto ac_mv = ac_mv_column_.from(piece.rows.first);
        for (std::size_t i = 0; i < piece.severity.size(); ++i)
            if (!std::isnan(ac_mv[i]) && happenings_.shows_hull[piece.rows.first + i]) {
                ac_mv_.add(ac_mv[i], weight_of(stands_for[i]));
                highest_ac_mv_ = std::fmax(highest_ac_mv_, ac_mv[i]);
            }
    }

    /// The overall one; where too much has none, the one that the rest held longest.
    Verdict typical_verdict() const {
        if (judged_.overall != Verdict::no_verdict) return judged_.overall;
        Verdict longest = Verdict::no_verdict;
        double share = 0;
        for (const Verdict each : {Verdict::under_protected, Verdict::over_protected,
                                   Verdict::undecided, Verdict::protected_}) {
            if (judged_.share.of(each) <= share) continue;
            share = judged_.share.of(each);
            longest = each;
        }
        return longest;
    }

    double median_with(ShorePower wanted) const {
        return potentials_.together([wanted](Verdict, ShorePower power) { return power == wanted; })
            .percentile(50);
    }

    /// Nearer than the median is known none needs to be.
    void find_typical_row(Verdict typical, double median_mv, double enough_mv) {
        double least_mv = std::numeric_limits<double>::infinity();
        judged_.verdict.each(trace_.time.size(), [&](const Rows& rows, Verdict verdict) {
            if (verdict != typical) return;
            for (std::size_t row = rows.first; row < rows.end && least_mv > enough_mv; ++row) {
                const double off_mv = std::abs(judged_.standard_mv[row] - median_mv);
                if (!(off_mv < least_mv)) continue;
                least_mv = off_mv;
                judged_.typical_row = row;
            }
        });
    }

    const Readings& trace_;
    const Rules& rules_;
    Column<ByConstants> by_constants_mv_;
    Column<double> uncertainty_mv_;
    // Those by which is added up are of its own, since they are read while the others are.
    Column<Instant> time_;
    Column<Milliseconds> stands_for_;
    Column<double> ac_mv_column_;
    const Happenings& happenings_;
    JudgedTrace& judged_;
    double most_negative_mv_ = std::numeric_limits<double>::infinity();
    double least_negative_mv_ = -most_negative_mv_;
    bool alike_; ///< all readings count alike, where nobody knows what they stand for
    SortedPotentials potentials_;
    Percentiles ac_mv_ = pickups();
    double highest_ac_mv_ = missing_value;
};

} // namespace

double& TimeShare::of(Verdict verdict) {
    return this->*part_of(verdict);
}
double TimeShare::of(Verdict verdict) const {
    return this->*part_of(verdict);
}

JudgedTrace judge_trace(const Readings& trace, const Rules& rules,
                        const Column<ByConstants>& standard_mv,
                        const Column<double>& expanded_uncertainty_mv, double worst_share,
                        std::span<const Refit> refits) {
    const Coverage coverage = coverage_of(trace.time);
    const Column<double> all_mv = without_hidden(standard_mv, {});
    Happenings happenings = happenings_of(trace, all_mv, coverage, refits);
    JudgedTrace judged;
    judged.standard_mv = without_hidden(standard_mv, hidden_rows(happenings.shows_hull));
    Summary summary(trace, rules, standard_mv, expanded_uncertainty_mv, coverage, happenings,
                    judged);
    summary.judge(worst_share);
    summary.tell_statistics();
    judged.gaps = coverage.gaps;
    const LevelBlocks& undisturbed = happenings.undisturbed_blocks;
    judged.trend =
        trend_of(undisturbed.time, undisturbed.mv, undisturbed.stands_for, undisturbed.level);
    const LimitDistance limits(rules);
    const auto drifts_to_mv =
        judged.trend.mv_per_day > 0 ? limits.end_less_negative_mv() : limits.end_more_negative_mv();
    if (drifts_to_mv)
        judged.band_exit = band_exit(trace.time, happenings.undisturbed_mv, expanded_uncertainty_mv,
                                     judged.trend, *drifts_to_mv);
    judged.cycles = std::move(happenings.cycles);
    judged.settling = std::move(happenings.settling);
    judged.events = trace.events;
    std::ranges::move(happenings.events, std::back_inserter(judged.events));
    judged.events = with_silences(std::move(judged.events), coverage);
    return judged;
}

} // namespace quaycell
