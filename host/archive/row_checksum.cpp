#include "archive/row_checksum.h"

namespace quaycell {

namespace {

constexpr std::uint64_t prime = 0x100000001B3U;

} // namespace

void RowChecksum::add_byte(std::uint8_t byte) {
    hash_ = (hash_ ^ byte) * prime;
}

void RowChecksum::add_number(std::uint64_t number) {
    for (int i = 0; i < 8; ++i, number >>= 8)
        add_byte(static_cast<std::uint8_t>(number));
}

void RowChecksum::add(std::int64_t value) {
    add_number(static_cast<std::uint64_t>(value));
}

void RowChecksum::add(std::span<const std::uint8_t> bytes) {
    add_number(bytes.size()); // so that no byte can move from one value to the next
    for (const std::uint8_t byte : bytes)
        add_byte(byte);
}

void RowChecksum::add_side_by_side(const std::array<Lane, lanes>& together) {
    std::array<std::uint64_t, lanes> hash{};
    std::array<const std::uint8_t*, lanes> bytes{};
    const std::size_t count = together[0].bytes.size();
    for (std::size_t lane = 0; lane < lanes; ++lane) {
        together[lane].sum->add_number(count);
        hash[lane] = together[lane].sum->hash_;
        bytes[lane] = together[lane].bytes.data();
    }
    for (std::size_t i = 0; i < count; ++i)
        for (std::size_t lane = 0; lane < lanes; ++lane)
            hash[lane] = (hash[lane] ^ bytes[lane][i]) * prime;
    for (std::size_t lane = 0; lane < lanes; ++lane)
        together[lane].sum->hash_ = hash[lane];
}

} // namespace quaycell
