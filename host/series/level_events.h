// Steps of the potential and changes of AC, put together to what was done.
#pragma once

#include "series/ac_changes.h"
#include "series/repeated_loads.h"
#include "series/trace.h"

#include <optional>
#include <span>

namespace quaycell {

/// What one step turned out to be.
struct StepMeaning {
    EventKind kind;
    bool of_load = false; ///< one of many of a repeated load; only the first is told
};

struct LevelEvents {
    std::vector<Event> events;        ///< in order of time
    std::vector<StepMeaning> meaning; ///< one per step
    /// From when to when a repeated load was on and off.
    std::vector<std::pair<Instant, Instant>> loads;
};

/// Steps and changes in order of time. `noise_mv` is that of a reading. A step and a change of AC
/// within three readings of each other belong together. Where there is no change of AC at all, a
/// level that is left toward less negative for an hour or more and comes back is taken for shore
/// power.
LevelEvents level_events(std::span<const TimedStep> steps, std::span<const AcChange> ac,
                         double noise_mv, Milliseconds interval);

} // namespace quaycell
