// Checks of the record layout, in the same way as wire_checks.h.
#pragma once

#include "wire/record.h"

namespace quaycell {
namespace test {

inline bool blank_and_zeroed_slots_are_no_records() {
    uint8_t slot[wire::record_size];
    memset(slot, 0xFF, sizeof slot);
    if (wire::is_valid_record(slot)) return false;
    memset(slot, 0x00, sizeof slot);
    return !wire::is_valid_record(slot);
}

inline bool every_bit_flip_of_a_record_shows() {
    wire::Reading reading = {};
    reading.head.kind = static_cast<uint8_t>(wire::RecordKind::reading);
    reading.head.sequence = 0x01020304;
    reading.cell_a = -12345;
    wire::seal(reading);
    uint8_t bytes[wire::record_size];
    wire::to_bytes(reading, bytes);
    if (!wire::is_valid_record(bytes)) return false;
    for (uint16_t bit = 0; bit < sizeof bytes * 8; ++bit) {
        bytes[bit / 8] = static_cast<uint8_t>(bytes[bit / 8] ^ (1U << (bit % 8)));
        if (wire::is_valid_record(bytes)) return false;
        bytes[bit / 8] = static_cast<uint8_t>(bytes[bit / 8] ^ (1U << (bit % 8)));
    }
    return true;
}

// The bytes of a record, written out by hand: little-endian, no gaps.
inline bool a_record_lies_as_format_says() {
    wire::Reading reading = {};
    reading.head = {0x57, 0x04, 0x0102, 0x0A0B0C0D, 0x11121314};
    reading.flags = 0x2122;
    reading.cell_a = 0x3132;
    reading.cell_b = -2;
    reading.ac_a = 0x4142;
    reading.ac_b = 0x5152;
    reading.water = 0x6162;
    reading.battery = 0x7172;
    reading.board = -3;
    reading.source_a = 0x81;
    reading.source_b = 0x91;
    reading.crc = 0xA1A2;
    const uint8_t expected[] = {0x57, 0x04, 0x02, 0x01, 0x0D, 0x0C, 0x0B, 0x0A, 0x14, 0x13, 0x12,
                                0x11, 0x22, 0x21, 0x32, 0x31, 0xFE, 0xFF, 0x42, 0x41, 0x52, 0x51,
                                0x62, 0x61, 0x72, 0x71, 0xFD, 0xFF, 0x81, 0x91, 0xA2, 0xA1};
    uint8_t bytes[wire::record_size];
    wire::to_bytes(reading, bytes);
    return memcmp(bytes, expected, sizeof expected) == 0;
}

inline bool sequences_compare_through_the_wrap() {
    return wire::sequence_before(1, 2) && !wire::sequence_before(2, 1) &&
           !wire::sequence_before(5, 5) && wire::sequence_before(0xFFFFFFF0U, 0x10) &&
           !wire::sequence_before(0x10, 0xFFFFFFF0U) && wire::is_sector_start(0) &&
           wire::is_sector_start(0xFFFFFF80U) && !wire::is_sector_start(0xFFFFFFFFU);
}

} // namespace test
} // namespace quaycell
