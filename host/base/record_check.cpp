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

} // namespace

bool is_whole_record(const std::uint8_t* bytes) {
    if (bytes[0] < static_cast<std::uint8_t>(wire::RecordKind::sector_header) ||
        bytes[0] > static_cast<std::uint8_t>(wire::RecordKind::reading))
        return false;
    constexpr unsigned high = wire::crc16_start >> 8U, low = wire::crc16_start & 0xFFU;
    unsigned crc = tables[0][bytes[0] ^ high] ^ tables[1][bytes[1] ^ low];
    for (std::size_t place = 2; place < summed; ++place)
        crc ^= tables[place][bytes[place]];
    return crc == (bytes[summed] | static_cast<unsigned>(bytes[summed + 1]) << 8U);
}

} // namespace quaycell
