// A quantity of the world over time: a base and parts that add to it.
#pragma once

#include "bench/findings.h"

#include <cstdint>
#include <variant>
#include <vector>

namespace quaycell::bench {

/// Rises evenly by `change` between two times, and stays.
struct Ramp {
    Time from, to;
    double change;
};

/// A wave of period 12.42 h, highest at `high_at`.
struct Tide {
    double amplitude;
    Time high_at;
};

/// A wave of period 24 h.
struct Day {
    double amplitude;
    Time high_at;
};

/// Another level from `at` until `until`.
struct Step {
    Time at, until;
    double change;
};

/// Gaussian, a new value every second; the same seed and second give the same value.
struct Noise {
    double sigma;
    std::uint64_t seed;
};

using Part = std::variant<Ramp, Tide, Day, Step, Noise>;

struct Range {
    double low, high;
};

class Signal {
  public:
    Signal() = default;
    Signal(double base, std::vector<Part> parts) : base_(base), parts_(std::move(parts)) {}

    double at(Time when) const;
    /// Limits that it never leaves (noise: taken as five standard deviations).
    Range limits() const;

  private:
    double base_ = 0;
    std::vector<Part> parts_;
};

} // namespace quaycell::bench
