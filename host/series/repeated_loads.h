// A load that comes and goes: steps up and down of equal height and equal length.
#pragma once

#include "base/time.h"

#include <cstddef>
#include <span>
#include <vector>

namespace quaycell {

struct TimedStep {
    Instant time;
    double height_mv;
};

/// Steps[i] and steps[i + 1] of each pulse, as many as there are.
struct RepeatedLoad {
    std::vector<std::size_t> pulses; ///< index of the step with which each begins
    double height_mv;                ///< median, with the sign of its beginning
    Milliseconds length;             ///< median
    Milliseconds period;             ///< median, from beginning to beginning
};

/// Groups of three pulses or more. Heights may differ by an eighth or by 1.5 times the noise of a
/// reading, lengths by a quarter or by two intervals; a pulse lasts three hours at most, and after
/// four periods without one the load has ended (our judgement).
std::vector<RepeatedLoad> repeated_loads(std::span<const TimedStep> steps, double noise_mv,
                                         Milliseconds interval);

} // namespace quaycell
