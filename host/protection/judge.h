// The verdict on one reading.
#pragma once

#include "protection/rules.h"
#include "protection/standard_potential.h"
#include "protection/verdict.h"

#include <optional>
#include <string>
#include <vector>

namespace quaycell {

/// Where a potential on agcl/seawater can lie, [mV]: from magnesium to graphite, the ends of the
/// galvanic series in sea water, with 100 and 50 mV to spare (our judgement).
inline constexpr Range possible_mv{-1750, 350};

/// Whether any metal in the water can show this. What is not a number is not.
bool is_possible(ByConstants standard_mv);

/// What a reading means for a boat, from harmless to worst.
enum class Severity {
    protected_,
    no_verdict, ///< nobody could say
    undecided,
    over_protected_elsewhere,
    under_protected,
    over_protected_destroying,
};

Verdict verdict_of(Severity severity);

/// What one criterion says of the reading.
struct RowJudgement {
    Criterion criterion;
    double potential_mv; ///< on the criterion's own scale, the less negative of both conversions
    Verdict verdict;
    BandProbability probability;
};

struct Judgement {
    Verdict verdict = Verdict::no_verdict;
    double potential_mv = 0;            ///< on agcl/seawater, the less negative of both conversions
    double expanded_uncertainty_mv = 0; ///< k = 2
    std::vector<RowJudgement> rows;     ///< the hull's first; empty with no_verdict
    std::optional<std::string> conflict;
    std::vector<std::string> reasons;
    bool nothing_measured = false; ///< of a trace without a potential
};

/// Judges a potential on agcl/seawater (standard_potential_mv), each row on its own scale and each
/// end of its band with the stricter conversion. The worst of what counts wins. A potential that no
/// metal shows, an uncertainty that is not a number or is negative gets no verdict.
Judgement judge(const Rules& rules, ByConstants standard_mv, const Spread& spread);

/// What judge() decides, alone: for traces of a million readings.
Severity severity_of(const Rules& rules, ByConstants standard_mv, double expanded_uncertainty_mv);
Verdict verdict_of(const Rules& rules, ByConstants standard_mv, double expanded_uncertainty_mv);

} // namespace quaycell
