#include "protection/judge.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace quaycell {
namespace {

/// What can happen to a boat, from harmless to worst.
enum class Severity {
    protected_,
    undecided,
    over_protected_elsewhere,
    under_protected,
    over_protected_destroying,
};

Verdict verdict_for(Severity severity) {
    switch (severity) {
    case Severity::protected_:
        return Verdict::protected_;
    case Severity::undecided:
        return Verdict::undecided;
    case Severity::under_protected:
        return Verdict::under_protected;
    case Severity::over_protected_elsewhere:
    case Severity::over_protected_destroying:
        break;
    }
    return Verdict::over_protected;
}

/// The rule's own verdict, whether or not it counts.
Verdict row_verdict(const Rule& rule, double standard_mv, double expanded_uncertainty_mv) {
    const Verdict verdict = verdict_in(rule.band, standard_mv, expanded_uncertainty_mv);
    return verdict == Verdict::protected_ && rule.over_unknown ? Verdict::undecided : verdict;
}

/// The part of it that counts: all of the hull's row, of a sensitive metal only the negative side.
Verdict counting_verdict(const Rule& rule, double standard_mv, double expanded_uncertainty_mv) {
    if (rule.decides) return row_verdict(rule, standard_mv, expanded_uncertainty_mv);
    if (!rule.over_counts) return Verdict::protected_;
    if (rule.over_unknown) {
        const Verdict own = row_verdict(rule, standard_mv, expanded_uncertainty_mv);
        return own == Verdict::under_protected ? Verdict::protected_ : Verdict::undecided;
    }
    return verdict_in({std::nullopt, rule.band.over_at_mv}, standard_mv, expanded_uncertainty_mv);
}

Severity severity_of(const Rule& rule, Verdict verdict) {
    switch (verdict) {
    case Verdict::under_protected:
        return Severity::under_protected;
    case Verdict::over_protected:
        return rule.over_destroys ? Severity::over_protected_destroying
                                  : Severity::over_protected_elsewhere;
    case Verdict::undecided:
        return Severity::undecided;
    case Verdict::protected_:
    case Verdict::no_verdict:
        break;
    }
    return Severity::protected_;
}

bool can_judge(double standard_mv, double expanded_uncertainty_mv) {
    return std::isfinite(standard_mv) && std::isfinite(expanded_uncertainty_mv) &&
           expanded_uncertainty_mv >= 0;
}

std::string provenance(const Criterion& c) {
    return fmt::format("{}: {}, {}", c.id, c.source, c.status);
}

/// The limit that lies nearest to the reading.
double nearest_limit_mv(const Band& band, double potential_mv) {
    const double under_mv = band.protected_from_mv.value_or(INFINITY);
    const double over_mv = band.over_at_mv.value_or(INFINITY);
    return std::abs(potential_mv - under_mv) < std::abs(potential_mv - over_mv) ? under_mv
                                                                                : over_mv;
}

/// Why a rule says what it says, on agcl/seawater.
std::string reason_for(const Rule& rule, Verdict verdict, double standard_mv,
                       double expanded_uncertainty_mv) {
    const Criterion& c = rule.criterion;
    switch (verdict) {
    case Verdict::under_protected:
        return fmt::format("{:.1f} mV is less negative than {:.0f} mV, from which {} counts as "
                           "protected ({})",
                           standard_mv, *rule.band.protected_from_mv, c.subject, provenance(c));
    case Verdict::over_protected:
        return fmt::format("{:.1f} mV is more negative than {:.0f} mV, beyond which {} is "
                           "over-protected{}{} ({})",
                           standard_mv, *rule.band.over_at_mv, c.subject,
                           c.over_reason.empty() ? "" : ": ", c.over_reason, provenance(c));
    case Verdict::undecided:
        if (verdict_in(rule.band, standard_mv, expanded_uncertainty_mv) == Verdict::protected_)
            return fmt::format(
                "for {} no limit on the negative side is published; it is decided case "
                "by case ({})",
                c.subject, provenance(c));
        return fmt::format(
            "the {:.0f} mV of {} lies within {:.1f} mV, the uncertainty of the reading "
            "of {:.1f} mV ({})",
            nearest_limit_mv(rule.band, standard_mv), c.subject, expanded_uncertainty_mv,
            standard_mv, provenance(c));
    case Verdict::protected_:
    case Verdict::no_verdict:
        break;
    }
    return fmt::format("{:.1f} mV lies in the band of {} ({})", standard_mv, c.subject,
                       provenance(c));
}

RowJudgement judge_row(const Rule& rule, double standard_mv, double expanded_uncertainty_mv) {
    return {rule.criterion, standard_mv - rule.offset_mv,
            row_verdict(rule, standard_mv, expanded_uncertainty_mv),
            probability_in(rule.band, standard_mv, expanded_uncertainty_mv)};
}

} // namespace

Verdict verdict_of(const Rules& rules, double standard_mv, double expanded_uncertainty_mv) {
    if (rules.no_verdict || !can_judge(standard_mv, expanded_uncertainty_mv))
        return Verdict::no_verdict;
    Severity worst = Severity::protected_;
    for (const Rule& rule : rules.rules)
        worst = std::max(
            worst, severity_of(rule, counting_verdict(rule, standard_mv, expanded_uncertainty_mv)));
    return verdict_for(worst);
}

Judgement judge(const Rules& rules, double standard_mv, double expanded_uncertainty_mv) {
    Judgement judgement;
    judgement.verdict = verdict_of(rules, standard_mv, expanded_uncertainty_mv);
    judgement.potential_mv = standard_mv;
    judgement.expanded_uncertainty_mv = expanded_uncertainty_mv;
    judgement.conflict = rules.conflict;
    if (rules.no_verdict) {
        judgement.reasons.push_back(*rules.no_verdict);
        return judgement;
    }
    if (!can_judge(standard_mv, expanded_uncertainty_mv)) {
        judgement.reasons.push_back("the potential or its uncertainty is not a number");
        return judgement;
    }
    for (const Rule& rule : rules.rules) {
        const RowJudgement row = judge_row(rule, standard_mv, expanded_uncertainty_mv);
        const Verdict counting = counting_verdict(rule, standard_mv, expanded_uncertainty_mv);
        if (rule.decides || counting != Verdict::protected_)
            judgement.reasons.push_back(
                reason_for(rule, counting, standard_mv, expanded_uncertainty_mv));
        else if (row.verdict == Verdict::under_protected || row.verdict == Verdict::over_protected)
            judgement.reasons.push_back(
                reason_for(rule, row.verdict, standard_mv, expanded_uncertainty_mv) +
                ", which does not decide for the hull");
        judgement.rows.push_back(row);
    }
    return judgement;
}

} // namespace quaycell
