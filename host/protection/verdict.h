// What a potential means for a metal, and how sure that is.
#pragma once

#include "electrode/spread.h"
#include "protection/by_constants.h"

#include <optional>
#include <string_view>

namespace quaycell {

enum class Verdict {
    under_protected,
    protected_,
    over_protected,
    undecided,  ///< a limit lies inside the uncertainty
    no_verdict, ///< nobody could say, for a reason that is given beside it
};

std::string_view name_of(Verdict verdict); ///< "under-protected"

/// Both ends as potentials, [mV]; an absent end is not limited.
struct Band {
    std::optional<double> protected_from_mv; ///< less negative than this: under-protected
    std::optional<double> over_at_mv;        ///< more negative than this: over-protected
};

/// Probability that the true potential lies on each side of the band.
struct BandProbability {
    double under;
    double protected_;
    double over;
};

/// The less negative potential is held against protected_from_mv, the more negative one against
/// over_at_mv. Undecided where a limit lies less than the expanded uncertainty (k = 2) from it; a
/// reading just that far is decided, so that at most 2.3 % of verdicts err on that side.
Verdict verdict_in(const Band& band, ByConstants potential_mv, double expanded_uncertainty_mv);

/// For true potentials that lie about the reading as `spread` says; an expanded uncertainty alone
/// stands for a normal distribution. They sum to 1, unless the two potentials lie farther apart
/// than the ends of the band.
BandProbability probability_in(const Band& band, ByConstants potential_mv, const Spread& spread);

} // namespace quaycell
