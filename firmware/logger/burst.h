// 200 samples of an AC amplifier, and what they say: the AC on the cell, or how much of the
// stimulus came through.
#pragma once

#include "wire/record.h"

namespace quaycell {
namespace logger {

/// Ten cycles of 50 Hz, twelve of 60 Hz and twenty-five of the stimulus, a square wave of 125 Hz.
constexpr uint8_t samples_in_burst = 200;
constexpr uint8_t samples_in_cycle = 8; ///< of the stimulus

/// The amplifiers rest at COM, 1.024 V; an AC of 2.4 V rms takes them to 0.06 V, where they clip
/// (simulated circuit). In steps of a converter at 3.3 V; a lower supply only marks earlier.
constexpr uint8_t ac_clips_below = 20;

constexpr uint8_t ac_codes_per_step = 100; ///< the AC code is in hundredths of the converter's step
constexpr uint8_t lock_in_per_code = 32;   ///< of the lock-in's sums make a code of the source

enum class Cell : uint8_t { a, b };

/// 0 to 1023 each, one a millisecond. Sums by their place in the cycle of the stimulus are all that
/// both figures need of them, besides the squares.
struct Burst {
    uint16_t by_phase[samples_in_cycle];
    uint32_t squares;
    bool clipped; ///< a sample below ac_clips_below: the wave is cut off there
};

static_assert(samples_in_burst % samples_in_cycle == 0, "whole cycles");
static_assert(samples_in_burst / samples_in_cycle * 1023UL <= UINT16_MAX, "a phase's sum fits");

/// Rounded down.
inline uint16_t square_root(uint32_t square) {
    uint16_t root = 0;
    for (uint16_t bit = 0x8000; bit != 0; bit = static_cast<uint16_t>(bit >> 1)) {
        const uint16_t tried = static_cast<uint16_t>(root | bit);
        if (uint32_t{tried} * tried <= square) root = tried;
    }
    return root;
}

/// The rms about the mean, [hundredths of a step].
inline uint16_t ac_code(const Burst& burst) {
    constexpr uint8_t count = samples_in_burst;
    uint32_t sum = 0;
    for (const uint16_t part : burst.by_phase)
        sum += part;
    const uint16_t mean = static_cast<uint16_t>(sum / count);
    const uint16_t rest = static_cast<uint16_t>(sum % count);
    // The sum of (sample - mean)^2, taken about the whole number below the mean and put right: no
    // product leaves 32 bits that way.
    const uint32_t deviations = burst.squares - mean * (sum + rest) - uint32_t{rest} * rest / count;
    constexpr uint8_t scale = ac_codes_per_step * ac_codes_per_step / samples_in_burst;
    return square_root(scale * deviations);
}

/// The peak of what keeps step with the stimulus, by lock-in against two square waves a quarter of
/// a cycle apart; board/circuit.h tells the scale.
inline uint8_t source_code(const Burst& burst) {
    constexpr uint8_t highest = wire::missing_byte - 1;
    constexpr int32_t too_much = int32_t{highest} * lock_in_per_code;
    constexpr uint8_t half = samples_in_cycle / 2;
    constexpr uint8_t quarter = samples_in_cycle / 4;
    int32_t in_step = 0;
    int32_t aside = 0;
    for (uint8_t phase = 0; phase < samples_in_cycle; ++phase) {
        const int32_t part = burst.by_phase[phase];
        in_step += phase < half ? part : -part;
        aside += phase >= quarter && phase < quarter + half ? part : -part;
    }
    if (in_step > too_much || in_step < -too_much || aside > too_much || aside < -too_much)
        return highest;
    const uint16_t size = square_root(static_cast<uint32_t>(in_step * in_step + aside * aside));
    const uint16_t code = static_cast<uint16_t>((size + lock_in_per_code / 2) / lock_in_per_code);
    return code < highest ? static_cast<uint8_t>(code) : highest;
}

} // namespace logger
} // namespace quaycell
