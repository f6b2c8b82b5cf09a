// A record as it travels and rests: verbatim, undecoded.
#pragma once

#include "wire/record.h"

#include <array>
#include <cstdint>

namespace quaycell {

using RecordBytes = std::array<std::uint8_t, wire::record_size>;

/// A slot of the logger's memory: the number it was asked for by, and what it holds.
struct SequencedRecord {
    std::uint32_t sequence;
    RecordBytes bytes;
};

/// Sequence numbers first, first + 1, ... on their wrapping circle.
struct SequenceRange {
    std::uint32_t first;
    std::uint32_t count;
    bool operator==(const SequenceRange&) const = default;
};

} // namespace quaycell
