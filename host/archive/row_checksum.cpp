#include "archive/row_checksum.h"

namespace quaycell {

void RowChecksum::add_byte(std::uint8_t byte) {
    hash_ = (hash_ ^ byte) * 0x100000001B3U;
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

} // namespace quaycell
