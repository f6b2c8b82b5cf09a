// What to buy, where it goes, by when, and what to look at: from the anodes, the water and what the
// hull reads.
#pragma once

#include "anode/choice.h"
#include "anode/place.h"
#include "diagnosis/anode_findings.h"

#include <optional>

namespace quaycell {

/// What the readings tell of the hull.
struct HullReading {
    Verdict verdict;
    Instant from;
    Instant to;
};

struct PlanGrounds {
    AnodeSetting setting;
    std::optional<HullReading> reading;
    Instant as_of;                   ///< the day that is reckoned from
    std::optional<Instant> haul_out; ///< the next one planned
    double renew_at_gone;            ///< as for wear_of()
};

struct PlannedAnode {
    FittedAnode anode;
    std::optional<Wear> wear;        ///< absent where nothing is known since it was fitted
    std::optional<AnodePlace> place; ///< where the log's words name a known one
    Alloy buy;
    double mass_kg;        ///< of one of that alloy in the size of the fitted one
    std::string why_other; ///< why not the fitted alloy; empty where it is bought again
    bool take_off;         ///< the fitted alloy destroys what it is to protect
    std::string why_not;   ///< why none is to be bought for the haul-out; empty: one is
    std::vector<AnodeFinding> findings;
};

struct AnodePlan {
    std::vector<PlannedAnode> anodes;
    PlanGrounds grounds;
    std::vector<std::string> cautions; ///< of the hull
};

/// Whether it is not to be renewed before it is known why the hull reads over-protected.
bool waits_for_cause(const PlannedAnode& planned, const PlanGrounds& grounds);

/// `anodes`: all that are fitted to one boat. What the hull's cell sees becomes one alloy: the one
/// that is fitted, unless it is none for this water, or several are. What lies at a place that is
/// not known keeps its alloy where that serves, and nothing is read from it. Errors as of
/// wear_of(), but for anodes that nobody weighed.
Result<AnodePlan> plan_anodes(const std::vector<FittedAnode>& anodes, PlanGrounds grounds);

} // namespace quaycell
