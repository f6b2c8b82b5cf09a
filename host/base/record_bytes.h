// A record as it travels and rests: verbatim, undecoded.
#pragma once

#include "wire/record.h"

#include <algorithm>
#include <array>
#include <cstdint>

namespace quaycell {

using RecordBytes = std::array<std::uint8_t, wire::record_size>;

/// A slot of the logger's memory: the number it was asked for by, and what it holds.
struct SequencedRecord {
    std::uint32_t sequence;
    RecordBytes bytes;
};

/// Whether a slot holds a whole record under its own number. Slots are torn by power cuts, never
/// written, or still hold what an earlier round of the ring left there.
inline bool is_good(const SequencedRecord& slot) {
    return wire::is_valid_record(slot.bytes.data()) &&
           wire::from_bytes<wire::RecordHead>(slot.bytes.data()).sequence == slot.sequence;
}

/// Whether the logger spent this slot on purpose, all 00: after a restart it trusts the first slot
/// that reads blank to no record. Nothing is lost there.
inline bool is_void(const SequencedRecord& slot) {
    return !wire::is_sector_start(slot.sequence) &&
           std::ranges::all_of(slot.bytes, [](std::uint8_t byte) { return byte == 0; });
}

/// What the logger passed over before a sector, because it is worn.
struct Skip {
    std::uint32_t sectors; ///< whole ones just before it
    bool rest;             ///< and the rest of the one before those
};

/// Older firmware tells nothing, in one of two ways.
inline Skip skip_before(const wire::SectorHeader& header) {
    const std::uint32_t sectors = header.skipped & ~unsigned{wire::rest_skipped};
    if (sectors > wire::most_skipped) return {0, false};
    return {sectors, (header.skipped & wire::rest_skipped) != 0};
}

/// Sequence numbers first, first + 1, ... on their wrapping circle.
struct SequenceRange {
    std::uint32_t first;
    std::uint32_t count;
    bool operator==(const SequenceRange&) const = default;
};

} // namespace quaycell
