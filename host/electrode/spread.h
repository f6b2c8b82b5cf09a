// How true values lie about a reading: a sum of independent errors.
#pragma once

#include <vector>

namespace quaycell {

/// From standard to expanded uncertainty: about 95 % of a normal distribution.
inline constexpr double coverage_factor = 2;

/// A rectangular error. Its half width may itself be uncertain: divided by 1 + e, with e
/// rectangular within `divided_within`, as a voltage drop goes with one over a salinity that is
/// hardly known.
struct RectangularError {
    RectangularError(double half_width, double divided_within_share = 0)
        : half_width_mv(half_width), divided_within(divided_within_share) {}

    double half_width_mv;
    double divided_within;
};

/// One normal error and any number of rectangular ones. Where few wide rectangles rule, the sum is
/// no longer normal, and taking it for normal would misstate a probability by up to 0.02.
class Spread {
  public:
    /// Normal, with half the expanded uncertainty as its standard deviation.
    Spread(double expanded_mv);
    Spread(double normal_standard_mv, std::vector<RectangularError> rectangles);

    double standard_mv() const { return standard_mv_; }
    double expanded_mv() const { return coverage_factor * standard_mv_; }

    /// Probability that the true value lies more than `distance_mv` above the reading, or as far
    /// below it; more than a half for a negative distance. A sum with rectangles is good to 1e-6.
    double probability_beyond(double distance_mv) const;

  private:
    double normal_mv_;
    std::vector<RectangularError> rectangles_;
    double standard_mv_;
};

} // namespace quaycell
