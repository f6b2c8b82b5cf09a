// Wear and plan of anodes in words: the same on a terminal and in a report. Days are those of UTC.
#pragma once

#include "diagnosis/anode_plan.h"

namespace quaycell {

/// "2026-05-01"
std::string day_text(Instant at);

/// "50 % are gone between 2026-05-01 and 2026-06-01", as seen on a day.
std::string due_text(const Wear& wear, double renew_at_gone, Instant as_of);

/// "lasts", "may not last", "does not last"
std::string_view name_of(Lasting lasting);

/// One line of the list to take along.
struct PlannedPurchase {
    std::string place;
    std::string what; ///< "aluminium, 2.3 kg"
    std::string why;  ///< not the fitted alloy; may be empty
    std::string when;
    std::string_view limit; ///< what to mind in its size and where it sits; may be empty
};
std::vector<PlannedPurchase> purchases(const AnodePlan& plan);

/// What wear and reading say together, of all the anodes that it is said of.
struct PlannedFinding {
    std::string places;
    AnodeFinding finding;
};
std::vector<PlannedFinding> findings(const AnodePlan& plan);

/// What to look at, at the haul-out or at the service; what wear and reading say stands apart.
struct PlannedLook {
    std::string places;
    std::string what;
};
std::vector<PlannedLook> looks(const AnodePlan& plan);

/// "It wastes fast: ... (source; status)", with the check that tells, without the caution of that
/// check.
std::string finding_text(const AnodeFinding& finding);

/// "the hull reads protected (2026-05-01 to 2026-05-08)"
std::string reading_text(const std::optional<HullReading>& reading);

} // namespace quaycell
