#include "protection/judge.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <fmt/format.h>

namespace quaycell {
namespace {

// In the order of Severity.
constexpr std::array severity_verdicts{Verdict::protected_,      Verdict::no_verdict,
                                       Verdict::undecided,       Verdict::over_protected,
                                       Verdict::under_protected, Verdict::over_protected};

/// What one rule decides of a reading, as cheap as can be.
class RuleVerdict {
  public:
    RuleVerdict(const Rule& rule, ByConstants standard_mv, double expanded_uncertainty_mv)
        : rule_(rule), band_{rule.criterion.protected_from_mv, rule.criterion.over_at_mv},
          potential_mv_(standard_mv - rule.offset_mv),
          expanded_uncertainty_mv_(rule.expanded_uncertainty_mv.value_or(expanded_uncertainty_mv)) {
    }

    /// The rule's own verdict, whether or not it counts.
    Verdict own() const {
        const Verdict verdict = verdict_in(band_, potential_mv_, expanded_uncertainty_mv_);
        return verdict == Verdict::protected_ && rule_.over_unknown ? Verdict::undecided : verdict;
    }

    /// The part of it that counts: all of the hull's row, of a sensitive metal only the negative
    /// side.
    Verdict counting() const {
        if (rule_.decides) return own();
        if (!rule_.over_counts) return Verdict::protected_;
        if (rule_.over_unknown)
            return own() == Verdict::under_protected ? Verdict::protected_ : Verdict::undecided;
        return verdict_in({std::nullopt, band_.over_at_mv}, potential_mv_,
                          expanded_uncertainty_mv_);
    }

    Severity severity() const {
        switch (counting()) {
        case Verdict::under_protected:
            return Severity::under_protected;
        case Verdict::over_protected:
            return rule_.over_destroys ? Severity::over_protected_destroying
                                       : Severity::over_protected_elsewhere;
        case Verdict::undecided:
            return Severity::undecided;
        case Verdict::protected_:
        case Verdict::no_verdict:
            break;
        }
        return Severity::protected_;
    }

  protected:
    const Rule& rule_;
    Band band_; ///< on the criterion's own scale
    ByConstants potential_mv_;
    double expanded_uncertainty_mv_;
};

/// One rule and the reading on its own scale, with all that is to be said of it.
class RuleReading : public RuleVerdict {
  public:
    RuleReading(const Rule& rule, ByConstants standard_mv, const Spread& spread)
        : RuleVerdict(rule, standard_mv, spread.expanded_mv()),
          spread_(rule.expanded_uncertainty_mv ? Spread(*rule.expanded_uncertainty_mv) : spread) {}

    RowJudgement row() const {
        return {rule_.criterion, potential_mv_.less_negative_mv(), own(),
                probability_in(band_, potential_mv_, spread_)};
    }

    /// What the rule is about, in words.
    std::string_view subject() const {
        if (rule_.criterion.kind == CriterionKind::shift) return "any bonded set of metals";
        return rule_.criterion.subject;
    }

    /// Why the rule says so.
    std::string reason(Verdict verdict) const {
        const Criterion& c = rule_.criterion;
        const double less_mv = potential_mv_.less_negative_mv();
        const double more_mv = potential_mv_.more_negative_mv();
        switch (verdict) {
        case Verdict::under_protected:
            return fmt::format("{:.1f} mV{} is less negative than {:.0f} mV, from which {} counts "
                               "as protected ({})",
                               less_mv, on_scale(), *band_.protected_from_mv, subject(),
                               provenance());
        case Verdict::over_protected:
            return fmt::format("{:.1f} mV{} is more negative than {:.0f} mV, beyond which {} is "
                               "over-protected{}{} ({})",
                               more_mv, on_scale(), *band_.over_at_mv, c.subject,
                               c.over_reason.empty() ? "" : ": ", c.over_reason, provenance());
        case Verdict::undecided:
            return reason_of_doubt();
        case Verdict::protected_:
        case Verdict::no_verdict:
            break;
        }
        return fmt::format("{:.1f} mV{} lies in the band of {} ({})", less_mv, on_scale(),
                           subject(), provenance());
    }

  private:
    std::string reason_of_doubt() const {
        if (verdict_in(band_, potential_mv_, expanded_uncertainty_mv_) == Verdict::protected_)
            return fmt::format("for {} no limit on the negative side is published; it is decided "
                               "case by case ({})",
                               subject(), provenance());
        const double less_mv = potential_mv_.less_negative_mv();
        const double more_mv = potential_mv_.more_negative_mv();
        const double under_mv = band_.protected_from_mv.value_or(INFINITY);
        const double over_mv = band_.over_at_mv.value_or(INFINITY);
        const bool under_is_nearer = std::abs(less_mv - under_mv) < std::abs(more_mv - over_mv);
        return fmt::format("the {:.0f} mV of {} lies within {:.1f} mV, the uncertainty of the "
                           "reading of {:.1f} mV{} ({})",
                           under_is_nearer ? under_mv : over_mv, subject(),
                           expanded_uncertainty_mv_, under_is_nearer ? less_mv : more_mv,
                           on_scale(), provenance());
    }

    /// Named only where it is not the one that everything else is on.
    std::string on_scale() const {
        if (rule_.criterion.kind == CriterionKind::shift) return " of change from the baseline";
        const Scale scale = rule_.criterion.scale.value_or(Scale::agcl_seawater);
        return scale == Scale::agcl_seawater ? "" : fmt::format(" on {}", name_of(scale));
    }

    std::string provenance() const {
        return fmt::format("{}; {}", rule_.criterion.source, rule_.criterion.status);
    }

    Spread spread_;
};

/// Why a reading cannot be judged, whatever the rules.
std::optional<std::string> reason_against(ByConstants standard_mv, double expanded_uncertainty_mv) {
    if (!std::isfinite(standard_mv.computed_mv) || !std::isfinite(standard_mv.handbook_mv) ||
        !std::isfinite(expanded_uncertainty_mv) || expanded_uncertainty_mv < 0)
        return "the potential or its uncertainty is not a number";
    if (!is_possible(standard_mv))
        return fmt::format(
            "{:.1f} mV is beyond what any metal shows in sea water, {:.0f} to {:+.0f} "
            "mV: the leads may be swapped, the cell dry or its lead open, the scale "
            "another one, or volts taken for millivolts",
            standard_mv.less_negative_mv(), possible_mv.low, possible_mv.high);
    return std::nullopt;
}

bool can_judge(ByConstants standard_mv, double expanded_uncertainty_mv) {
    return is_possible(standard_mv) && std::isfinite(expanded_uncertainty_mv) &&
           expanded_uncertainty_mv >= 0;
}

} // namespace

bool is_possible(ByConstants standard_mv) {
    // What is not a number compares to nothing.
    const auto possible = [](double mv) { return mv >= possible_mv.low && mv <= possible_mv.high; };
    return possible(standard_mv.computed_mv) && possible(standard_mv.handbook_mv);
}

Verdict verdict_of(Severity severity) {
    return severity_verdicts.at(static_cast<std::size_t>(severity));
}

Severity severity_of(const Rules& rules, ByConstants standard_mv, double expanded_uncertainty_mv) {
    if (rules.no_verdict || !can_judge(standard_mv, expanded_uncertainty_mv))
        return Severity::no_verdict;
    Severity worst = Severity::protected_;
    for (const Rule& rule : rules.rules)
        worst = std::max(worst, RuleVerdict(rule, standard_mv, expanded_uncertainty_mv).severity());
    return worst;
}

Verdict verdict_of(const Rules& rules, ByConstants standard_mv, double expanded_uncertainty_mv) {
    return verdict_of(severity_of(rules, standard_mv, expanded_uncertainty_mv));
}

Judgement judge(const Rules& rules, ByConstants standard_mv, const Spread& spread) {
    const double expanded_uncertainty_mv = spread.expanded_mv();
    Judgement judgement;
    judgement.verdict = verdict_of(rules, standard_mv, expanded_uncertainty_mv);
    judgement.potential_mv = standard_mv.less_negative_mv();
    judgement.expanded_uncertainty_mv = expanded_uncertainty_mv;
    judgement.conflict = rules.conflict;
    if (rules.no_verdict) {
        judgement.reasons.push_back(*rules.no_verdict);
        return judgement;
    }
    if (const auto reason = reason_against(standard_mv, expanded_uncertainty_mv)) {
        judgement.reasons.push_back(*reason);
        return judgement;
    }
    if (rules.by_shift)
        judgement.reasons.push_back("judged by the change from the baseline: " + *rules.by_shift);
    for (const Rule& rule : rules.rules) {
        const RuleReading reading(rule, standard_mv, spread);
        const RowJudgement row = reading.row();
        const Verdict counting = reading.counting();
        if (rule.decides || counting != Verdict::protected_)
            judgement.reasons.push_back(reading.reason(counting));
        else if (row.verdict == Verdict::under_protected || row.verdict == Verdict::over_protected)
            judgement.reasons.push_back(
                fmt::format("{} by itself is {}, which does not decide for the hull: {}",
                            reading.subject(), name_of(row.verdict), reading.reason(row.verdict)));
        judgement.rows.push_back(row);
    }
    return judgement;
}

} // namespace quaycell
