// 200 samples of an AC amplifier, and what they say: the AC on the cell, or how much of the
// stimulus came through.
#pragma once

#include "board/circuit.h"
#include "wire/record.h"

namespace quaycell {
namespace logger {

/// 0 to 1023 each, one a millisecond. Sums by their place in the cycle of the stimulus are all that
/// both figures need of them, besides the squares.
struct Burst {
    uint16_t by_phase[board::samples_in_cycle];
    uint32_t squares;
};

static_assert(board::samples_in_burst % board::samples_in_cycle == 0, "whole cycles");
static_assert(board::samples_in_burst / board::samples_in_cycle * 1023UL <= UINT16_MAX,
              "a phase's sum fits");

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
    constexpr uint8_t count = board::samples_in_burst;
    uint32_t sum = 0;
    for (const uint16_t part : burst.by_phase)
        sum += part;
    const uint16_t mean = static_cast<uint16_t>(sum / count);
    const uint16_t rest = static_cast<uint16_t>(sum % count);
    // The sum of (sample - mean)^2, taken about the whole number below the mean and put right: no
    // product leaves 32 bits that way.
    const uint32_t deviations = burst.squares - mean * (sum + rest) - uint32_t{rest} * rest / count;
    constexpr uint8_t scale =
        board::ac_codes_per_step * board::ac_codes_per_step / board::samples_in_burst;
    return square_root(scale * deviations);
}

/// The peak of what keeps step with the stimulus, by lock-in against two square waves a quarter of
/// a cycle apart; see board/circuit.h for the scale.
inline uint8_t source_code(const Burst& burst) {
    constexpr uint8_t highest = wire::missing_byte - 1;
    constexpr int32_t too_much = int32_t{highest} * board::lock_in_per_code;
    constexpr uint8_t half = board::samples_in_cycle / 2;
    constexpr uint8_t quarter = board::samples_in_cycle / 4;
    int32_t in_step = 0;
    int32_t aside = 0;
    for (uint8_t phase = 0; phase < board::samples_in_cycle; ++phase) {
        const int32_t part = burst.by_phase[phase];
        in_step += phase < half ? part : -part;
        aside += phase >= quarter && phase < quarter + half ? part : -part;
    }
    if (in_step > too_much || in_step < -too_much || aside > too_much || aside < -too_much)
        return highest;
    const uint16_t size = square_root(static_cast<uint32_t>(in_step * in_step + aside * aside));
    const uint16_t code =
        static_cast<uint16_t>((size + board::lock_in_per_code / 2) / board::lock_in_per_code);
    return code < highest ? static_cast<uint8_t>(code) : highest;
}

} // namespace logger
} // namespace quaycell
