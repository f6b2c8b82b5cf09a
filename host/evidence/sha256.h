// SHA-256 (FIPS 180-4), by libsodium.
#pragma once

#include <string>
#include <string_view>

namespace quaycell {

/// The digest in 64 lower-case hexadecimal digits.
std::string sha256_hex(std::string_view bytes);

} // namespace quaycell
