// Where published criteria say different things of the same metal.
#pragma once

#include "protection/criterion.h"

#include <span>
#include <string>
#include <vector>

namespace quaycell {

/// One row's limit, in a disagreement.
struct LimitOfRow {
    const Criterion* criterion; ///< of the table that was compared
    double standard_mv;         ///< the limit on agcl/seawater, computed, [mV]
};

/// Rows that put the same end of the same metal's band at different potentials.
struct Disagreement {
    std::string subject;            ///< "steel", for the hull as for the metal
    bool negative_end;              ///< over_at_mv rather than protected_from_mv
    Oxygen oxygen;                  ///< aerobic or anaerobic
    std::vector<LimitOfRow> limits; ///< least negative first

    double spread_mv() const { return limits.front().standard_mv - limits.back().standard_mv; }
};

/// All disagreements of rows with a scale that apply in a common water, background included. A hull
/// counts as the metal it is made of. The table outlives the answer. Limits of cells other than the
/// water's own are compared at 15 degC.
std::vector<Disagreement> disagreements_in(std::span<const Criterion> criteria);

} // namespace quaycell
