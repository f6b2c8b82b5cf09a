#include "series/level_noise.h"

#include "series/robust.h"

#include <algorithm>
#include <cmath>
#include <vector>

namespace quaycell {

namespace {

/// Below it lie a third of a normal distribution's sizes, in standard deviations.
constexpr double third_smallest = 0.43073;

/// Of four means in a row, the step between the middle ones less a third of that between the outer
/// ones knows nothing of a slope. Its variance, of independent means of variance 1:
constexpr double variance_of_bend = 2 * (1 + 1.0 / 9);

/// A step bends all means that reach across it, four lengths of them: in a shorter record it would
/// itself be most of what counts as noise.
constexpr std::size_t fewest_lengths = 24;

/// Variance of a mean of `length` values, by how neighbouring means differ.
double variance_of(std::span<const double> values, std::size_t length) {
    std::vector<double> means;
    double sum = 0;
    for (std::size_t end = 0; end < values.size(); ++end) {
        sum += values[end];
        if (end >= length) sum -= values[end - length];
        if (end + 1 >= length) means.push_back(sum / static_cast<double>(length));
    }
    std::vector<double> sizes;
    for (std::size_t i = 0; i + 3 * length < means.size(); ++i)
        sizes.push_back(std::abs(means[i + 2 * length] - means[i + length] -
                                 (means[i + 3 * length] - means[i]) / 3));
    if (sizes.empty()) return 0;
    const auto third = sizes.begin() + static_cast<std::ptrdiff_t>(sizes.size() / 3);
    std::nth_element(sizes.begin(), third, sizes.end());
    const double deviation = *third / third_smallest;
    return deviation * deviation / variance_of_bend;
}

} // namespace

LevelNoise::LevelNoise(std::span<const double> values, double least)
    : independent_variance_(least * least) {
    for (std::size_t i = 0; i < lengths.size(); ++i) {
        const std::size_t length = lengths.at(i);
        if (values.size() >= fewest_lengths * length)
            variance_.at(i) = variance_of(values, length);
        else if (i != 0)
            variance_.at(i) = variance_.at(i - 1); // as if longer means told no more
    }
}

double LevelNoise::variance_of_mean(double values) const {
    std::size_t i = 0;
    while (i + 1 < lengths.size() && static_cast<double>(lengths.at(i + 1)) <= values)
        ++i;
    return std::max(variance_.at(i), independent_variance_ / values);
}

double LevelNoise::of_difference(double values_before, double values_after) const {
    return std::sqrt(variance_of_mean(values_before) + variance_of_mean(values_after));
}

double tail_of(std::span<const double> values) {
    constexpr std::size_t enough = 4000, one_in = 1000;
    /// Of normal noise of standard deviation 1 (computed from eight million values).
    constexpr double normal_extreme = 3.653;
    const double noise = noise_of(values);
    if (values.size() < enough || !(noise > 0)) return 1;
    std::vector<double> off;
    for (std::size_t i = 1; i + 1 < values.size(); ++i) {
        const double low = std::min(values[i - 1], values[i + 1]);
        const double high = std::max(values[i - 1], values[i + 1]);
        off.push_back(std::abs(values[i] - std::clamp(values[i], low, high)));
    }
    const auto extreme = off.end() - static_cast<std::ptrdiff_t>(off.size() / one_in);
    std::nth_element(off.begin(), extreme, off.end());
    return std::max(1.0, *extreme / (normal_extreme * noise));
}

} // namespace quaycell
