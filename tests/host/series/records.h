// Builds the records that a logger would have written.
#pragma once

#include "series/decode.h"

namespace quaycell::testing {

constexpr wire::Circuit circuit{
    62500,  1024000, 10000,  10000, {3354016000, 256985000, 2620131, 63831},
    112288, 330000,  292000, 10000, 6600,
    16384,  3400,    3600,   793,   167,
    55,     65};

template <typename Record>
RecordBytes bytes_of(Record record) {
    wire::seal(record);
    RecordBytes bytes;
    wire::to_bytes(record, bytes.data());
    return bytes;
}

inline wire::RecordHead head(wire::RecordKind kind, std::uint32_t sequence, std::uint32_t ticks_s,
                             std::uint16_t boot = 1) {
    return {static_cast<std::uint8_t>(kind), 0, boot, sequence, ticks_s};
}

inline wire::Reading reading(std::uint32_t sequence, std::uint32_t ticks_s, std::int16_t cell_a,
                             std::uint16_t boot = 1) {
    wire::Reading record{};
    record.head = head(wire::RecordKind::reading, sequence, ticks_s, boot);
    record.cell_a = cell_a;
    record.cell_b = wire::missing_code;
    record.ac_a = record.ac_b = record.water = record.battery = wire::missing_count;
    record.source_a = record.source_b = wire::missing_byte;
    return record;
}

inline wire::Arm arm(std::uint32_t sequence, std::uint32_t ticks_s, std::uint32_t unix_s,
                     std::uint16_t boot = 1) {
    wire::Arm record{};
    record.head = head(wire::RecordKind::arm, sequence, ticks_s, boot);
    record.unix_s = unix_s;
    record.interval_s = 10;
    return record;
}

inline wire::Boot boot(std::uint32_t sequence, std::uint32_t unix_s, std::uint16_t number,
                       wire::ResetCause cause = wire::ResetCause::power_on) {
    wire::Boot record{};
    record.head = head(wire::RecordKind::boot, sequence, 0, number);
    record.unix_s = unix_s;
    record.reset_cause = static_cast<std::uint8_t>(cause);
    return record;
}

inline wire::ClockSet clock_set(std::uint32_t sequence, std::uint32_t ticks_s,
                                std::uint32_t before_unix_s, std::uint32_t after_unix_s) {
    wire::ClockSet record{};
    record.head = head(wire::RecordKind::clock_set, sequence, ticks_s);
    record.before_unix_s = before_unix_s;
    record.after_unix_s = after_unix_s;
    return record;
}

inline wire::Check check(std::uint32_t sequence, std::uint32_t ticks_s, std::int32_t zero_sum,
                         std::int32_t reference_sum, std::uint8_t count) {
    wire::Check record{};
    record.head = head(wire::RecordKind::check, sequence, ticks_s);
    record.zero_sum = zero_sum;
    record.reference_sum = reference_sum;
    record.count = count;
    return record;
}

inline wire::SectorHeader sector_header(std::uint32_t sequence, std::uint32_t ticks_s) {
    wire::SectorHeader record{};
    record.head = head(wire::RecordKind::sector_header, sequence, ticks_s);
    record.interval_s = 60;
    return record;
}

inline wire::Stop stop(std::uint32_t sequence, std::uint32_t ticks_s) {
    wire::Stop record{};
    record.head = head(wire::RecordKind::stop, sequence, ticks_s);
    return record;
}

} // namespace quaycell::testing
