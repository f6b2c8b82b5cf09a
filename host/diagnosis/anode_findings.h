// Wear of the anodes and potential of the hull read as one: what either alone does not tell.
#pragma once

#include "anode/wear.h"
#include "protection/verdict.h"

#include <span>
#include <string_view>
#include <vector>

namespace quaycell {

/// An anode that is due within so many days of its fitting wastes fast: common practice gives a
/// normal life of 3 to 10 months (E. Sherman, p. 114, read).
inline constexpr double shortest_normal_days = 91;
/// Whether one wastes at all is not asked before so many days (our judgement).
inline constexpr double tells_nothing_days = 60;

enum class WearPace { too_early, not_wasting, usual, fast };

/// By the middle of its rate; `renew_at_gone` as for wear_of(), `last_seen` the last weighing.
WearPace pace_of(const Wear& wear, double renew_at_gone, Instant fitted, Instant last_seen);

/// What both are read from.
struct WearAndReading {
    WearPace pace;
    Verdict verdict; ///< of the hull
    bool magnesium;
};

struct AnodeFinding {
    std::string_view id; ///< "shore-earth"
    std::string_view what;
    std::string_view test;    ///< that tells
    std::string_view caution; ///< of that step; may be empty
    std::string_view source;
    std::string_view status; ///< in words
};

/// All there are, and those that apply.
std::span<const AnodeFinding> all_anode_findings();
std::vector<AnodeFinding> anode_findings(const WearAndReading& both);

} // namespace quaycell
