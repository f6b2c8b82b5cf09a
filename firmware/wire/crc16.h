// CRC-16/CCITT-FALSE: polynomial 0x1021, start 0xFFFF, no reflection, no final inversion.
// Check value: "123456789" gives 0x29B1 (the catalogue of CRC algorithms' check value).
#pragma once

#include <stddef.h>
#include <stdint.h>

namespace quaycell {
namespace wire {

constexpr uint16_t crc16_start = 0xFFFF;

/// The checksum after one more byte. Without a table: eight shifts folded into three exclusive-ors,
/// which costs the logger no flash and about twenty cycles a byte.
inline uint16_t crc16_next(uint16_t crc, uint8_t byte) {
    crc = static_cast<uint16_t>((crc >> 8) | (crc << 8));
    crc = static_cast<uint16_t>(crc ^ byte);
    crc = static_cast<uint16_t>(crc ^ ((crc & 0xFF) >> 4));
    crc = static_cast<uint16_t>(crc ^ (crc << 12));
    crc = static_cast<uint16_t>(crc ^ ((crc & 0xFF) << 5));
    return crc;
}

inline uint16_t crc16(const uint8_t* bytes, size_t count) {
    uint16_t crc = crc16_start;
    for (size_t i = 0; i < count; ++i)
        crc = crc16_next(crc, bytes[i]);
    return crc;
}

} // namespace wire
} // namespace quaycell
