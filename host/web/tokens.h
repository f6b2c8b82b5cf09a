// The two secrets of a page: one to read it, one to change anything by it.
#pragma once

#include <string>
#include <string_view>

namespace quaycell::web {

/// Each 128 random bits in letters, digits, '-' and '_' (RFC 4648, base64url).
struct Tokens {
    std::string read;   ///< part of the path of every address
    std::string change; ///< in the fragment of an address, which a browser tells nobody
};

/// New ones, by libsodium. Throws std::runtime_error where the system has no randomness.
Tokens new_tokens();

/// In a time that does not tell where they differ.
bool same_secret(std::string_view given, std::string_view secret);

} // namespace quaycell::web
