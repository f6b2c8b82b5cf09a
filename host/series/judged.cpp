#include "series/judged.h"

#include "series/hidden_rows.h"
#include "series/severities.h"
#include "series/spells.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>
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

/// Percentiles of potentials: narrow classes from one end of what may be to the other.
Percentiles potentials() {
    constexpr std::size_t classes = std::size_t{1} << 18U;
    return {possible_mv.low, possible_mv.high, classes};
}
/// The same of AC; a distribution takes what lies beyond, too.
Percentiles pickups() {
    constexpr double usual_up_to_mv = 1000;
    constexpr std::size_t classes = std::size_t{1} << 16U;
    return {0, usual_up_to_mv, classes};
}

constexpr std::array all_percents{5, 50, 95};
constexpr std::array middle{50};
constexpr std::array high{95};

/// All that the readings tell in going through them, twice and a little.
class Summary {
  public:
    Summary(const Readings& trace, const Rules& rules, const Column<ByConstants>& standard_mv,
            const Column<double>& expanded_uncertainty_mv, const Coverage& coverage,
            const Happenings& happenings, JudgedTrace& judged)
        : trace_(trace), rules_(rules), by_constants_mv_(standard_mv),
          uncertainty_mv_(expanded_uncertainty_mv), stands_for_(coverage.stands_for),
          happenings_(happenings), judged_(judged), alike_(coverage.interval.count() == 0) {}

    void judge(double worst_share) {
        Severities severities(rules_);
        SpellMaker spells(rules_);
        Milliseconds covered{0};
        SeverityShare share{};
        std::int64_t total = 0;
        each_piece([&](const Rows& rows, ShorePower power) {
            const auto time = trace_.time.from(rows.first);
            const auto stands = stands_for_.from(rows.first);
            const auto standard_mv = by_constants_mv_.from(rows.first);
            const auto uncertainty_mv = uncertainty_mv_.from(rows.first);
            Percentiles* const of_power = with(power);
            for (std::size_t row = rows.first; row < rows.end; ++row) {
                const std::size_t i = row - rows.first;
                const std::int64_t weight = weight_of(stands[i]);
                const bool shows = happenings_.shows_hull[row];
                const ByConstants by_constants_mv = standard_mv[i];
                const double less_mv = by_constants_mv.less_negative_mv();
                const double value_mv = shows ? less_mv : missing_value;
                const bool is_there = !std::isnan(less_mv);
                judged_.not_of_hull += is_there && !shows;
                judged_.impossible += is_there && !is_possible(by_constants_mv);
                const Severity severity = shows ? severities.of(by_constants_mv, uncertainty_mv[i])
                                                : Severity::no_verdict;
                const Verdict verdict = verdict_of(severity);
                judged_.verdict.change(row, verdict);
                share_in(share, severity) += static_cast<double>(weight);
                total += weight;
                covered += stands[i];
                spells.add(time[i], stands[i], verdict, value_mv);
                if (std::isnan(value_mv)) continue;
                all_.add(value_mv, weight);
                if (of_power) of_power->add(value_mv, weight);
                if (verdict != Verdict::no_verdict) of(verdict).add(value_mv, 1);
            }
        });
        if (total != 0)
            for (double& part : share)
                part /= static_cast<double>(total);
        judged_.covered_s = static_cast<double>(covered.count()) / 1000.0;
        judged_.share = by_verdict(share);
        judged_.spells = std::move(spells).spells();
        if (!trace_.time.empty()) judged_.overall = overall_of(share, worst_share);
    }

    void look_again() {
        const bool decided = judged_.overall != Verdict::no_verdict;
        all_.look_for(all_percents);
        plugged_.look_for(middle);
        unplugged_.look_for(middle);
        if (decided) of(judged_.overall).look_for(middle);
        each_piece([&](const Rows& rows, ShorePower power) {
            const auto stands = stands_for_.from(rows.first);
            const auto values_mv = judged_.standard_mv.from(rows.first);
            Percentiles* const of_power = with(power);
            for (std::size_t i = 0; i < rows.end - rows.first; ++i) {
                const double value_mv = values_mv[i];
                if (std::isnan(value_mv)) continue;
                const std::int64_t weight = weight_of(stands[i]);
                all_.add_again(value_mv, weight);
                if (of_power) of_power->add_again(value_mv, weight);
                if (decided) of(judged_.overall).add_again(value_mv, 1);
            }
        });
        judged_.statistics = {all_.percentile(50), all_.percentile(5), all_.percentile(95),
                              all_.min(), all_.max()};
        judged_.shore = {plugged_.percentile(50), unplugged_.percentile(50), ac_p95_mv()};
        if (decided) find_typical_row(of(judged_.overall).percentile(50));
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

    std::int64_t weight_of(Milliseconds stands_for) const {
        return alike_ ? 1 : stands_for.count();
    }

    Percentiles& of(Verdict verdict) { return by_verdict_.at(static_cast<std::size_t>(verdict)); }

    Percentiles* with(ShorePower power) {
        if (power == ShorePower::unknown) return nullptr;
        return power == ShorePower::plugged ? &plugged_ : &unplugged_;
    }

    double ac_p95_mv() const {
        if (trace_.ac_mv.empty()) return missing_value;
        Percentiles ac = pickups();
        const auto each_ac = [&](auto take) {
            for (std::size_t row = 0; row < trace_.ac_mv.size(); ++row) {
                const double ac_mv = trace_.ac_mv[row];
                if (!std::isnan(ac_mv) && happenings_.shows_hull[row])
                    take(ac_mv, weight_of(stands_for_[row]));
            }
        };
        each_ac([&](double ac_mv, std::int64_t weight) { ac.add(ac_mv, weight); });
        ac.look_for(high);
        each_ac([&](double ac_mv, std::int64_t weight) { ac.add_again(ac_mv, weight); });
        return ac.percentile(95);
    }

    void find_typical_row(double median_mv) {
        double least_mv = std::numeric_limits<double>::infinity();
        judged_.verdict.each(trace_.time.size(), [&](const Rows& rows, Verdict verdict) {
            if (verdict != judged_.overall) return;
            for (std::size_t row = rows.first; row < rows.end && least_mv != 0; ++row) {
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
    Column<Milliseconds> stands_for_;
    const Happenings& happenings_;
    JudgedTrace& judged_;
    bool alike_; ///< all readings count alike, where nobody knows what they stand for
    Percentiles all_ = potentials();
    Percentiles plugged_ = potentials();
    Percentiles unplugged_ = potentials();
    std::array<Percentiles, 4> by_verdict_{potentials(), potentials(), potentials(), potentials()};
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
    summary.look_again();
    judged.gaps = coverage.gaps;
    judged.trend = trend_of(trace.time, happenings.undisturbed_mv, coverage.stands_for,
                            happenings.undisturbed_level);
    if (const auto limit_mv = LimitDistance(rules).strictest_mv())
        judged.band_exit = band_exit(trace.time, happenings.undisturbed_mv, expanded_uncertainty_mv,
                                     judged.trend, *limit_mv);
    judged.cycles = std::move(happenings.cycles);
    judged.settling = std::move(happenings.settling);
    judged.events = trace.events;
    std::ranges::move(happenings.events, std::back_inserter(judged.events));
    judged.events = with_silences(std::move(judged.events), coverage);
    return judged;
}

} // namespace quaycell
