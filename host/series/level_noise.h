// How far apart neighbouring levels lie where nothing happens.
#pragma once

#include <array>
#include <span>

namespace quaycell {

/// Noise that resembles its neighbours (wind, flow, a sun behind clouds) is not averaged away by
/// longer levels as independent noise is. How much is left is taken from the record itself: how the
/// means of so many values bend from one to the next, all through it. A third of those bends are
/// smaller than 0.43 of their deviation (normal distribution, computed); that third hardly notices
/// steps, which make a part of the bends large. A record of less than 24 times as many values tells
/// nothing of them, and its longer levels are taken to vary as shorter ones do.
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

/// How many times as far off as normal noise's the single extremes lie: 1 where they are as far or
/// less, and where there are too few values to tell. By the thousandth that differs most from
/// the middle one of itself and its neighbours, which knows nothing of steps.
double tail_of(std::span<const double> values);

} // namespace quaycell
