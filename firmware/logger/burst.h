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

/// The lock-in makes so much of a peak of one step, and so much of it is a code of the source.
constexpr uint16_t lock_in_per_step = 1300;
constexpr uint16_t lock_in_per_code = 320;

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

/// The peak of the wave of 125 Hz that keeps step with the stimulus, by lock-in against two sines a
/// quarter of a cycle apart. Their values at eight places of a cycle are 5, 12, 12, 5 and the same
/// below zero, within 0.6 %: 25 cycles of 4 * (5 sin 22.5 deg + 12 sin 67.5 deg) make 1300 of a
/// peak of one. What comes through the circuit is neither square nor sine; the third harmonic
/// counts for nothing here, where a square wave would hear it.
inline uint8_t source_code(const Burst& burst) {
    constexpr uint8_t highest = wire::missing_byte - 1;
    // Squares of more than an eighth of the sums would leave 32 bits.
    constexpr uint8_t part = 8;
    constexpr uint8_t per_code = lock_in_per_code / part;
    constexpr int32_t too_much = int32_t{highest} * per_code;
    constexpr uint8_t half = samples_in_cycle / 2;
    static_assert(half == 4, "the sines have four places in half a cycle");
    int32_t above[half];
    for (uint8_t phase = 0; phase < half; ++phase)
        above[phase] = int32_t{burst.by_phase[phase]} - burst.by_phase[phase + half];
    const int32_t in_step = (5 * (above[0] + above[3]) + 12 * (above[1] + above[2])) / part;
    const int32_t aside = (12 * (above[0] - above[3]) + 5 * (above[1] - above[2])) / part;
    if (in_step > too_much || in_step < -too_much || aside > too_much || aside < -too_much)
        return highest;
    const uint16_t size = square_root(static_cast<uint32_t>(in_step * in_step + aside * aside));
    const uint16_t code = static_cast<uint16_t>((size + per_code / 2) / per_code);
    return code < highest ? static_cast<uint8_t>(code) : highest;
}

} // namespace logger
} // namespace quaycell
