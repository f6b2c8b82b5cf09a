// The verdict on one reading.
#pragma once

#include "protection/rules.h"
#include "protection/standard_potential.h"
#include "protection/verdict.h"

#include <optional>
#include <string>
#include <vector>

namespace quaycell {

/// What one criterion says of the reading.
struct RowJudgement {
    Criterion criterion;
    double potential_mv; ///< on the criterion's own scale
    Verdict verdict;
    BandProbability probability;
};

struct Judgement {
    Verdict verdict = Verdict::no_verdict;
    double potential_mv = 0;            ///< on agcl/seawater
    double expanded_uncertainty_mv = 0; ///< k = 2
    std::vector<RowJudgement> rows;     ///< the hull's first; empty with no_verdict
    std::optional<std::string> conflict;
    std::vector<std::string> reasons;
};

/// Judges a potential on agcl/seawater (standard_potential_mv). The worst of what counts wins:
/// over-protected where it destroys, under-protected, over-protected elsewhere, undecided,
/// protected. A potential or an uncertainty that is not a number, or a negative uncertainty, gets
/// no verdict.
Judgement judge(const Rules& rules, double standard_mv, double expanded_uncertainty_mv);

/// The verdict of judge() alone, for traces of a million readings.
Verdict verdict_of(const Rules& rules, double standard_mv, double expanded_uncertainty_mv);

} // namespace quaycell
