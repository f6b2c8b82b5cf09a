// Consistent overhead byte stuffing (Cheshire and Baker 1999) of contents up to 254 bytes: one code
// byte in front takes every zero out. A zero can then mark the end of a frame, and a reader that
// has lost its place finds it again at the next one.
#pragma once

#include <stdint.h>

namespace quaycell {
namespace wire {

constexpr uint8_t max_block = 254; ///< beyond it, the code byte would not reach

/// Stuffs in place the `length` bytes that stand at block + 1; the result takes length + 1 bytes.
inline void stuff(uint8_t* block, uint8_t length) {
    // Each zero is replaced by the distance to the next one; the code byte points at the first.
    uint8_t distance = 1;
    for (uint8_t* byte = block + length; byte != block; --byte) {
        if (*byte == 0) {
            *byte = distance;
            distance = 0;
        }
        ++distance;
    }
    block[0] = distance;
}

/// Undoes it in place, from `length` bytes with the code in front; the content then stands at
/// block + 1. False when a code points elsewhere than to the next code or the end.
inline bool unstuff(uint8_t* block, uint8_t length) {
    if (length == 0) return false;
    uint8_t place = 0;
    uint8_t code = block[0];
    for (;;) {
        if (code == 0 || code > length - place) return false;
        place = static_cast<uint8_t>(place + code);
        if (place == length) return true;
        code = block[place];
        block[place] = 0;
    }
}

} // namespace wire
} // namespace quaycell
