// Bytes as hexadecimal digits, inside JSON.
#pragma once

#include "wire/bytes.h"

#include <array>
#include <cstdint>
#include <span>
#include <stdexcept>
#include <string>
#include <string_view>
#include <vector>

namespace quaycell {

std::string hex_text(std::span<const std::uint8_t> bytes);

/// Throws std::invalid_argument for what hex_text() does not write: inside the reading of JSON,
/// whose library throws, too.
std::vector<std::uint8_t> bytes_in(std::string_view hex);

/// A struct of the wire: the bytes of PROTOCOL.md.
template <typename Struct>
std::string hex_of(const Struct& value) {
    std::array<std::uint8_t, sizeof value> bytes{};
    wire::to_bytes(value, bytes.data());
    return hex_text(bytes);
}

/// Throws as bytes_in() does, also where the length is another.
template <typename Struct>
Struct from_hex(std::string_view hex) {
    const std::vector<std::uint8_t> bytes = bytes_in(hex);
    if (bytes.size() != sizeof(Struct)) throw std::invalid_argument("wrong length");
    return wire::from_bytes<Struct>(bytes.data());
}

} // namespace quaycell
