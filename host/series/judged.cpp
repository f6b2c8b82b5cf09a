#include "series/judged.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>
#include <numeric>

namespace quaycell {

namespace {

/// How far a potential is beyond the limits that count; negative when it is inside all of them.
class Distance {
  public:
    explicit Distance(const Rules& rules) {
        for (const Rule& rule : rules.rules) {
            if (rule.decides && rule.band.protected_from_mv)
                least_negative_.push_back(*rule.band.protected_from_mv);
            if ((rule.decides || rule.over_counts) && rule.band.over_at_mv)
                most_negative_.push_back(*rule.band.over_at_mv);
        }
    }

    double beyond_mv(double standard_mv) const {
        double beyond = -std::numeric_limits<double>::infinity();
        for (const double limit : least_negative_)
            beyond = std::max(beyond, standard_mv - limit);
        for (const double limit : most_negative_)
            beyond = std::max(beyond, limit - standard_mv);
        return beyond;
    }

    /// The most negative of the limits that still protect.
    std::optional<double> strictest_mv() const {
        if (least_negative_.empty()) return std::nullopt;
        return *std::min_element(least_negative_.begin(), least_negative_.end());
    }

  private:
    std::vector<double> least_negative_;
    std::vector<double> most_negative_;
};

std::vector<Spell> spells_of(const Trace& trace, const JudgedTrace& judged,
                             const Coverage& coverage, const Rules& rules) {
    const Distance distance(rules);
    std::vector<Spell> spells;
    for (std::size_t i = 0; i < trace.time.size(); ++i) {
        const Verdict verdict = judged.verdict[i];
        const double value = judged.standard_mv[i];
        const Instant end = trace.time[i] + coverage.stands_for[i];
        const bool goes_on = !spells.empty() && spells.back().verdict == verdict &&
                             spells.back().to == trace.time[i];
        if (!goes_on) {
            spells.push_back({trace.time[i], end, verdict, value});
            continue;
        }
        Spell& spell = spells.back();
        spell.to = end;
        if (std::isnan(spell.worst_mv) ||
            distance.beyond_mv(value) > distance.beyond_mv(spell.worst_mv))
            spell.worst_mv = value;
    }
    return spells;
}

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

SeverityShare share_of(std::span<const Severity> severities,
                       std::span<const Milliseconds> stands_for) {
    SeverityShare share{};
    const std::vector<std::int64_t> weights = weights_of(stands_for);
    const double total = static_cast<double>(std::reduce(weights.begin(), weights.end()));
    for (std::size_t i = 0; i < severities.size(); ++i)
        share_in(share, severities[i]) += static_cast<double>(weights[i]);
    if (total == 0) return share; // an empty trace
    for (double& part : share)
        part /= total;
    return share;
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

/// The values of those readings, the others missing.
template <typename Wanted>
std::vector<double> only(std::span<const double> values, Wanted wanted) {
    std::vector<double> left(values.begin(), values.end());
    for (std::size_t i = 0; i < left.size(); ++i)
        if (!wanted(i)) left[i] = missing_value;
    return left;
}

ShoreStatistics shore_statistics(const Trace& trace, std::span<const double> standard_mv,
                                 const Happenings& happenings,
                                 std::span<const Milliseconds> stands_for) {
    const auto median_while = [&](ShorePower state) {
        const auto values =
            only(standard_mv, [&](std::size_t i) { return happenings.shore_power[i] == state; });
        return statistics_of(values, stands_for).median_mv;
    };
    double ac_p95_mv = missing_value;
    if (!trace.ac_mv.empty()) {
        const auto ac = only(trace.ac_mv, [&](std::size_t i) { return happenings.shows_hull[i]; });
        ac_p95_mv = statistics_of(ac, stands_for).p95_mv;
    }
    return {median_while(ShorePower::plugged), median_while(ShorePower::unplugged), ac_p95_mv};
}

} // namespace

double& TimeShare::of(Verdict verdict) {
    return this->*part_of(verdict);
}
double TimeShare::of(Verdict verdict) const {
    return this->*part_of(verdict);
}

JudgedTrace judge_trace(const Trace& trace, const Rules& rules,
                        std::span<const ByConstants> standard_mv,
                        std::span<const double> expanded_uncertainty_mv, double worst_share,
                        std::span<const Refit> refits) {
    const Coverage coverage = coverage_of(trace.time);
    JudgedTrace judged;
    for (const ByConstants& each : standard_mv)
        judged.standard_mv.push_back(each.less_negative_mv());
    Happenings happenings = happenings_of(trace, judged.standard_mv, coverage, refits);
    std::vector<Severity> severities;
    severities.reserve(trace.time.size());
    for (std::size_t i = 0; i < trace.time.size(); ++i) {
        if (!happenings.shows_hull[i]) {
            judged.not_of_hull += !std::isnan(judged.standard_mv[i]);
            judged.standard_mv[i] = missing_value;
        }
        severities.push_back(happenings.shows_hull[i]
                                 ? severity_of(rules, standard_mv[i], expanded_uncertainty_mv[i])
                                 : Severity::no_verdict);
        judged.verdict.push_back(verdict_of(severities.back()));
    }
    Milliseconds covered{0};
    for (const Milliseconds part : coverage.stands_for)
        covered += part;
    judged.covered_s = static_cast<double>(covered.count()) / 1000.0;
    const SeverityShare share = share_of(severities, coverage.stands_for);
    judged.share = by_verdict(share);
    judged.gaps = coverage.gaps;
    judged.statistics = statistics_of(judged.standard_mv, coverage.stands_for);
    judged.shore = shore_statistics(trace, judged.standard_mv, happenings, coverage.stands_for);
    judged.trend = trend_of(trace.time, happenings.undisturbed_mv, coverage.stands_for,
                            happenings.undisturbed_level);
    if (const auto limit_mv = Distance(rules).strictest_mv())
        judged.band_exit = band_exit(trace.time, happenings.undisturbed_mv, expanded_uncertainty_mv,
                                     judged.trend, *limit_mv);
    judged.cycles = std::move(happenings.cycles);
    judged.settling = std::move(happenings.settling);
    judged.spells = spells_of(trace, judged, coverage, rules);
    if (!trace.time.empty()) judged.overall = overall_of(share, worst_share);
    judged.events = trace.events;
    std::ranges::move(happenings.events, std::back_inserter(judged.events));
    judged.events = with_silences(std::move(judged.events), coverage);
    return judged;
}

} // namespace quaycell
