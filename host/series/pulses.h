// Steps that are taken back: what repeated loads are made of.
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

/// From a step to the one that takes it back.
struct Pulse {
    std::size_t on;
    std::size_t off;
    Instant begin;
    double height_mv;
    Milliseconds length;
};

/// By how much a height may be off: a share of it, or twice the noise of a reading, or 1.5 mV.
double height_tolerance(double height_mv, double noise_mv, double share);

/// By how much a time may be off: a share of it, or two intervals.
Milliseconds length_tolerance(Milliseconds length, double share, Milliseconds interval);

/// Of the steps that are not taken, three hours long at most. Other steps may lie within a pulse,
/// of another load for one; not one like its own beginning, because then there is no telling whose
/// end comes first.
std::vector<Pulse> pulses_of(std::span<const TimedStep> steps, const std::vector<bool>& taken,
                             double noise_mv);

bool is_alike(const Pulse& pulse, const Pulse& model, double noise_mv, Milliseconds interval);

/// Those from `first` on that are like it, up to a silence of four periods after which they do not
/// come at the time of day of those before.
std::vector<Pulse> group_of(const std::vector<Pulse>& pulses, std::size_t first, double noise_mv,
                            Milliseconds interval);

/// Median, from beginning to beginning; 0 of one pulse.
Milliseconds period_of(const std::vector<Pulse>& group);

} // namespace quaycell
