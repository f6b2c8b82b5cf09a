// CRC-16/CCITT-FALSE: polynomial 0x1021, start 0xFFFF, no reflection, no final inversion.
// Check value: "123456789" gives 0x29B1 (the catalogue of CRC algorithms' check value).
#pragma once

#include <stddef.h>
#include <stdint.h>

namespace quaycell {
namespace wire {

constexpr uint16_t crc16_start = 0xFFFF;

/// The checksum after one more byte. Without a table: eight steps of one bit folded into a few
/// exclusive-ors of bytes, which costs the logger no flash and under thirty cycles a byte.
inline uint16_t crc16_next(uint16_t crc, uint8_t byte) {
    uint8_t in = static_cast<uint8_t>((crc >> 8) ^ byte);
    in = static_cast<uint8_t>(in ^ static_cast<uint8_t>(in >> 4));
    const uint8_t high = static_cast<uint8_t>(
        static_cast<uint8_t>(crc) ^ static_cast<uint8_t>(in << 4) ^ static_cast<uint8_t>(in >> 3));
    const uint8_t low = static_cast<uint8_t>(in ^ static_cast<uint8_t>(in << 5));
    return static_cast<uint16_t>(high << 8 | low);
}

inline uint16_t crc16(const uint8_t* bytes, size_t count) {
    uint16_t crc = crc16_start;
    for (size_t i = 0; i < count; ++i)
        crc = crc16_next(crc, bytes[i]);
    return crc;
}

} // namespace wire
} // namespace quaycell
