#include "judging/hex_text.h"

#include <fmt/format.h>

namespace quaycell {

namespace {

int digit_of(char digit) {
    if (digit >= '0' && digit <= '9') return digit - '0';
    if (digit >= 'a' && digit <= 'f') return digit - 'a' + 10;
    throw std::invalid_argument("no hexadecimal digit");
}

} // namespace

std::string hex_text(std::span<const std::uint8_t> bytes) {
    std::string hex;
    for (const std::uint8_t byte : bytes)
        hex += fmt::format("{:02x}", byte);
    return hex;
}

std::vector<std::uint8_t> bytes_in(std::string_view hex) {
    if (hex.size() % 2 != 0) throw std::invalid_argument("wrong length");
    std::vector<std::uint8_t> bytes(hex.size() / 2);
    for (std::size_t i = 0; i < bytes.size(); ++i)
        bytes[i] = static_cast<std::uint8_t>(16 * digit_of(hex[2 * i]) + digit_of(hex[2 * i + 1]));
    return bytes;
}

} // namespace quaycell
