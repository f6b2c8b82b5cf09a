#include "evidence/sha256.h"

#include <array>
#include <sodium.h>

namespace quaycell {

struct Sha256::State {
    crypto_hash_sha256_state sum;
};

Sha256::Sha256() : state_(std::make_unique<State>()) {
    crypto_hash_sha256_init(&state_->sum);
}
Sha256::~Sha256() = default;
Sha256::Sha256(Sha256&&) noexcept = default;
Sha256& Sha256::operator=(Sha256&&) noexcept = default;

void Sha256::add(std::string_view bytes) {
    crypto_hash_sha256_update(&state_->sum, reinterpret_cast<const unsigned char*>(bytes.data()),
                              bytes.size());
}

std::string Sha256::hex() {
    std::array<unsigned char, crypto_hash_sha256_BYTES> digest{};
    crypto_hash_sha256_final(&state_->sum, digest.data());
    std::array<char, 2 * crypto_hash_sha256_BYTES + 1> hex{};
    sodium_bin2hex(hex.data(), hex.size(), digest.data(), digest.size());
    return hex.data();
}

std::string sha256_hex(std::string_view bytes) {
    Sha256 sum;
    sum.add(bytes);
    return sum.hex();
}

} // namespace quaycell
