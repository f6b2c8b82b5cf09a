// A load that comes and goes: steps up and down of equal height and equal length.
#pragma once

#include "series/pulses.h"

#include <cstddef>
#include <span>
#include <vector>

namespace quaycell {

struct RepeatedLoad {
    std::vector<std::size_t> steps; ///< all that are its own, in order; the first switches it on
    std::size_t pulses;             ///< that were seen whole
    double height_mv;               ///< median, with the sign of its beginning
    Milliseconds length;            ///< median
    Milliseconds period;            ///< median, from beginning to beginning
    Milliseconds shortest_period;   ///< lower quartile
    Milliseconds longest_period;    ///< upper quartile

    /// Quartiles that part by no more than a half: the median tells when it comes.
    bool is_regular() const;
};

/// Groups of three pulses or more, of several loads whose pulses lie between and within each
/// other's, too. Heights may differ by a fifth or by twice the noise of a reading, lengths by three
/// tenths or by two intervals; a pulse lasts three hours at most, and after four periods without
/// one the load has ended, unless it comes again at the time of day at which it came the day
/// before. A step that is in no group is the load's, too, where it keeps to the period and a pulse
/// is missing, when its height is off by no more than two fifths: its partner was not seen, or fell
/// together with something else (our judgement, all of it).
std::vector<RepeatedLoad> repeated_loads(std::span<const TimedStep> steps, double noise_mv,
                                         Milliseconds interval);

} // namespace quaycell
