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

struct RepeatedLoad {
    std::vector<std::size_t> steps; ///< all that are its own, in order; the first switches it on
    std::size_t pulses;             ///< that were seen whole
    double height_mv;               ///< median, with the sign of its beginning
    Milliseconds length;            ///< median
    Milliseconds period;            ///< median, from beginning to beginning
};

/// Groups of three pulses or more. Heights may differ by a fifth or by twice the noise of a
/// reading, lengths by three tenths or by two intervals; a pulse lasts three hours at most, and
/// after four periods without one the load has ended. A step beside them that keeps to the period
/// is theirs, too, when its height is off by no more than two fifths: its partner was not seen, or
/// fell together with something else (our judgement, all of it).
std::vector<RepeatedLoad> repeated_loads(std::span<const TimedStep> steps, double noise_mv,
                                         Milliseconds interval);

} // namespace quaycell
