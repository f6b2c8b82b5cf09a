#include "base/record_check.h"

#include "wire/record.h"

#include <array>

namespace quaycell {

namespace {

constexpr std::size_t summed = wire::record_size - wire::crc_size;
using Table = std::array<std::uint16_t, 256>;

/// The checksum register after one more byte of zeros.
constexpr std::uint16_t after_zero(std::uint16_t crc) {
    constexpr unsigned polynomial = 0x1021; // see wire/crc16.h
    unsigned next = crc;
    for (int bit = 0; bit < 8; ++bit)
        next = (next << 1U) ^ ((next & 0x8000U) != 0 ? polynomial : 0U);
    return static_cast<std::uint16_t>(next);
}

/// A checksum is a sum without carry: of what each byte adds by its place. The start value counts
/// as if it stood in the first two bytes.
constexpr std::array<Table, summed> tables = [] {
    std::array<Table, summed> made{};
    for (unsigned byte = 0; byte < 256; ++byte) {
        auto crc = static_cast<std::uint16_t>(byte << 8U);
        for (std::size_t place = summed; place-- > 0;) {
            crc = after_zero(crc);
            made.at(place).at(byte) = crc;
        }
    }
    return made;
}();

bool is_known_kind(std::uint8_t kind) {
    return kind >= static_cast<std::uint8_t>(wire::RecordKind::sector_header) &&
           kind <= static_cast<std::uint8_t>(wire::RecordKind::reading);
}

/// One register for each record; the loops over them are what a processor does at once.
using Registers = std::array<std::uint16_t, records_together>;

/// The two bytes at `at` of every record, the first of them the lower.
Registers pairs_at(const std::uint8_t* records, std::size_t at) {
    Registers pairs;
    for (std::size_t each = 0; each < pairs.size(); ++each) {
        const std::uint8_t* const pair = records + each * wire::record_size + at;
        pairs[each] = static_cast<std::uint16_t>(pair[0] | unsigned{pair[1]} << 8U);
    }
    return pairs;
}

/// Takes the next byte in, by shifts instead of a table: the polynomial has few terms.
void take_byte(Registers& crc, const Registers& byte) {
    for (std::size_t each = 0; each < crc.size(); ++each) {
        unsigned x = crc[each] >> 8U ^ byte[each];
        x ^= x >> 4U;
        crc[each] = static_cast<std::uint16_t>(crc[each] << 8U ^ x << 12U ^ x << 5U ^ x);
    }
}

} // namespace

bool are_whole_records(const std::uint8_t* bytes) {
    Registers crc;
    crc.fill(wire::crc16_start);
    for (std::size_t at = 0; at < summed; at += 2) {
        const Registers pairs = pairs_at(bytes, at);
        Registers byte;
        for (std::size_t each = 0; each < pairs.size(); ++each)
            byte[each] = pairs[each] & 0xFFU;
        take_byte(crc, byte);
        for (std::size_t each = 0; each < pairs.size(); ++each)
            byte[each] = static_cast<std::uint16_t>(pairs[each] >> 8U);
        take_byte(crc, byte);
    }
    bool whole = crc == pairs_at(bytes, summed);
    for (std::size_t each = 0; each < records_together; ++each)
        whole = whole && is_known_kind(bytes[each * wire::record_size]);
    return whole;
}

bool is_whole_record(const std::uint8_t* bytes) {
    if (!is_known_kind(bytes[0])) return false;
    constexpr unsigned high = wire::crc16_start >> 8U, low = wire::crc16_start & 0xFFU;
    unsigned crc = tables[0][bytes[0] ^ high] ^ tables[1][bytes[1] ^ low];
    for (std::size_t place = 2; place < summed; ++place)
        crc ^= tables[place][bytes[place]];
    return crc == (bytes[summed] | static_cast<unsigned>(bytes[summed + 1]) << 8U);
}

} // namespace quaycell
