// How far apart neighbouring levels lie where nothing happens.
#pragma once

#include <array>
#include <span>

namespace quaycell {

/// Noise that resembles its neighbours (wind, flow, a sun behind clouds) is not averaged away by
/// longer levels as independent noise is. How much is left is taken from the record itself: how the
/// means of so many values bend from one to the next, all through it. A third of those bends are
/// smaller than 0.43 of their deviation (normal distribution, computed); that third hardly notices
/// steps, which make a part of the bends large.
class LevelNoise {
  public:
    /// `values` in order; `least` is the deviation of one value that is assumed at least.
    LevelNoise(std::span<const double> values, double least);

    /// Standard deviation of the difference between levels of so many values each, without a step.
    double of_difference(double values_before, double values_after) const;

  private:
    double variance_of_mean(double values) const;

    static constexpr std::array<std::size_t, 4> lengths{1, 2, 4, 8};
    std::array<double, lengths.size()> variance_{}; ///< of a mean of so many
    double independent_variance_;                   ///< of one value
};

} // namespace quaycell
