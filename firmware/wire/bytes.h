// Moving plain structs in and out of byte buffers.
//
// Every struct of the wire and the flash is little-endian with naturally aligned fields and no
// padding, so that its bytes in memory are its bytes outside. The assertion below refuses the one
// kind of machine where that would not hold.
#pragma once

#include <stddef.h>
#include <stdint.h>
#include <string.h>

#if __BYTE_ORDER__ != __ORDER_LITTLE_ENDIAN__
#error "the structs of the wire are little-endian in memory"
#endif

namespace quaycell {
namespace wire {

/// The struct whose bytes stand at `bytes`; at least sizeof(Struct) of them must be readable.
template <typename Struct>
Struct from_bytes(const uint8_t* bytes) {
    Struct value;
    memcpy(&value, bytes, sizeof value);
    return value;
}

/// Writes the bytes of `value` to `bytes`, which must have room for sizeof(Struct).
template <typename Struct>
void to_bytes(const Struct& value, uint8_t* bytes) {
    memcpy(bytes, &value, sizeof value);
}

} // namespace wire
} // namespace quaycell
