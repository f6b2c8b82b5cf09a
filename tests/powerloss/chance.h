// Repeatable chance: the same seed and place give the same bits.
#pragma once

#include <cstdint>

namespace quaycell::powerloss {

/// 64 well-mixed bits: the finaliser of the SplitMix64 generator.
constexpr std::uint64_t chance(std::uint64_t seed, std::uint64_t place) {
    std::uint64_t x = seed * 0x9E3779B97F4A7C15ULL + place + 0x9E3779B97F4A7C15ULL;
    x = (x ^ (x >> 30)) * 0xBF58476D1CE4E5B9ULL;
    x = (x ^ (x >> 27)) * 0x94D049BB133111EBULL;
    return x ^ (x >> 31);
}

} // namespace quaycell::powerloss
