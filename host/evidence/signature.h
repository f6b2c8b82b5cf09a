// Signatures by Ed25519 (RFC 8032), by libsodium, and their keys as files that other programs read
// as well (RFC 8410 in PEM, RFC 7468). A signature shows that whoever holds the secret key signed
// these bytes; whose key it is has to be known from elsewhere.
#pragma once

#include "base/result.h"

#include <array>
#include <cstdint>
#include <string>
#include <string_view>

namespace quaycell {

struct PublicKey {
    std::array<std::uint8_t, 32> bytes;
    bool operator==(const PublicKey&) const = default;
};

/// What the secret key is made from (the seed of RFC 8032). Wherever one was kept in memory,
/// nothing of it is left when it is gone.
class SecretKey {
  public:
    SecretKey() = default;
    SecretKey(const SecretKey&) = default;
    SecretKey& operator=(const SecretKey&) = default;
    ~SecretKey();

    std::array<std::uint8_t, 32> bytes{};
};

/// Overwrites what held a secret, and empties it.
void wipe(std::string& secret);

/// A new one, from the operating system's random numbers.
SecretKey new_secret_key();

PublicKey public_key_of(const SecretKey& key);

/// 64 bytes; the same for the same.
std::string signature_of(std::string_view bytes, const SecretKey& key);

bool is_signature_of(std::string_view bytes, std::string_view signature, const PublicKey& key);

/// What people compare: SHA-256 of the key in DER, in 64 hexadecimal digits.
std::string fingerprint(const PublicKey& key);

/// In PEM, ending in a newline. That of a secret key is to be wiped when it is no longer needed.
std::string to_pem(const SecretKey& key);
std::string to_pem(const PublicKey& key);

/// Reads what to_pem writes, and what other programs write of Ed25519 alike. Error (wrong_input):
/// something else, the other key of the pair named as such; the text is not quoted. `where`: the
/// file.
Result<SecretKey> parse_secret_key(std::string_view pem, const std::string& where);
Result<PublicKey> parse_public_key(std::string_view pem, const std::string& where);

} // namespace quaycell
