// What a slot of 32 bytes looks like, and where its sector begins.
#pragma once

#include "wire/record.h"

namespace quaycell {
namespace flashlog {

/// The number of its sector's header.
inline uint32_t sector_start(uint32_t sequence) {
    return sequence & ~static_cast<uint32_t>(wire::slots_per_sector - 1);
}

/// Whether nothing was ever programmed there, as far as reading can tell.
inline bool is_blank(const uint8_t* bytes) {
    for (uint8_t i = 0; i < wire::record_size; ++i)
        if (bytes[i] != 0xFF) return false;
    return true;
}

/// Whether a whole record stands there, and under its own number: a checksum of 16 bits alone fits
/// one torn slot in 65,536.
inline bool is_whole(const uint8_t* bytes, uint32_t sequence) {
    return wire::from_bytes<wire::RecordHead>(bytes).sequence == sequence &&
           wire::is_valid_record(bytes);
}

/// Whether it begins like a record that changes what the logger does.
inline bool is_order(const uint8_t* bytes) {
    return bytes[0] == static_cast<uint8_t>(wire::RecordKind::arm) ||
           bytes[0] == static_cast<uint8_t>(wire::RecordKind::boot) ||
           bytes[0] == static_cast<uint8_t>(wire::RecordKind::stop);
}

} // namespace flashlog
} // namespace quaycell
