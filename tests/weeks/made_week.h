// Weeks that never were, with a truth that is known: tide, day, drift, noise, and what happens.
#pragma once

#include "series/trace.h"

#include <cstdint>
#include <optional>
#include <vector>

namespace quaycell::weeks {

/// What happened, as it has to be told.
struct TrueEvent {
    EventKind kind;
    Instant time;     ///< of the first reading that can show it
    double height_mv; ///< of the potential; 0 where it does not move
};

struct MadeTrace {
    Trace trace; ///< potential on agcl/seawater
    std::vector<TrueEvent> truth;
    double drift_mv_per_day;
    double noise_mv;
    Milliseconds interval;
    double true_share_above; ///< of the readings that truly show the hull: above `limit_mv`
};

/// The potential above which MadeTrace::true_share_above counts, [mV].
constexpr double limit_mv = -950;

struct Wanted {
    std::uint64_t seed;
    int days = 7;
    bool quiet = false;                           ///< nothing happens
    std::optional<int> interval_s = std::nullopt; ///< in place of a drawn one
    bool heavy_tails = false;                     ///< noise of Student's t, 3 degrees of freedom
};

/// The same seed gives the same trace. Interval, noise, tide and all else are drawn.
MadeTrace make_trace(const Wanted& wanted);

} // namespace quaycell::weeks
