// What to buy, where it goes, by when, and what to look at: from the log of the anodes, the water
// and what the hull reads.
#pragma once

#include "anode/choice.h"
#include "anode/place.h"
#include "diagnosis/anode_findings.h"
#include "judging/anode_log.h"
#include "judging/boat.h"

#include <boost/json/fwd.hpp>

namespace quaycell {

/// What the trace tells of the hull.
struct HullReading {
    Verdict verdict;
    std::optional<bool> plugged; ///< whether shore power was plugged in at times
    std::string period;          ///< "2026-11-01 to 2026-11-08"
};

struct PlannedAnode {
    LoggedAnode logged;
    std::optional<Wear> wear;        ///< absent where nothing is known since it was fitted
    Alloy buy;                       ///< the fitted alloy, or the first choice where that is none
    double mass_kg;                  ///< of one in the size of the fitted one
    std::string why_other;           ///< why not the fitted alloy; empty where it is bought again
    std::optional<AnodePlace> place; ///< where the log's words begin with a known one
    std::vector<AnodeFinding> findings;
};

struct AnodePlan {
    std::vector<PlannedAnode> anodes;
    std::optional<HullReading> reading;
};

/// `anodes`: of one boat. Errors as of wear_of(), but for anodes that nobody weighed.
Result<AnodePlan> plan_anodes(const std::vector<LoggedAnode>& anodes, const Boat& boat,
                              std::optional<HullReading> reading, double renew_at_gone);

/// A list to take along, for `haul_out` where one is planned.
std::string plan_text(const AnodePlan& plan, const std::optional<Instant>& haul_out,
                      double renew_at_gone);
boost::json::object plan_json(const AnodePlan& plan, const std::optional<Instant>& haul_out);

/// "2026-05-01"
std::string day_text(Instant at);

/// "50 % are gone between 2026-05-01 and 2026-06-01"
std::string due_text(const Wear& wear, double renew_at_gone);

/// "lasts", "may not last", "does not last"
std::string_view name_of(Lasting lasting);

} // namespace quaycell
