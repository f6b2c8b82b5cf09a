// Repeatable randomness: pure functions of a seed and a place, so that no order of evaluation and
// no restart changes what the world does.
#pragma once

#include <cmath>
#include <cstdint>
#include <numbers>

namespace quaycell::bench {

/// 64 well-mixed bits of (seed, place): the finaliser of the SplitMix64 generator.
constexpr std::uint64_t random_bits(std::uint64_t seed, std::uint64_t place) {
    std::uint64_t x = seed * 0x9E3779B97F4A7C15ULL + place + 0x9E3779B97F4A7C15ULL;
    x = (x ^ (x >> 30)) * 0xBF58476D1CE4E5B9ULL;
    x = (x ^ (x >> 27)) * 0x94D049BB133111EBULL;
    return x ^ (x >> 31);
}

/// Evenly between 0 and 1, never exactly 0.
constexpr double random_fraction(std::uint64_t seed, std::uint64_t place) {
    return (static_cast<double>(random_bits(seed, place) >> 11) + 0.5) / 9007199254740992.0;
}

/// Gaussian with mean 0 and standard deviation 1, by Box and Muller's method.
inline double random_gaussian(std::uint64_t seed, std::uint64_t place) {
    const double radius = std::sqrt(-2 * std::log(random_fraction(seed, 2 * place)));
    return radius * std::cos(2 * std::numbers::pi * random_fraction(seed, 2 * place + 1));
}

} // namespace quaycell::bench
