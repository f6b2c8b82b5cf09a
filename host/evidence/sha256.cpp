#include "evidence/sha256.h"

#include <array>
#include <openssl/evp.h>
#include <stdexcept>

namespace quaycell {

namespace {

/// How somebody has set up OpenSSL for other programs must not matter here.
const EVP_MD* algorithm() {
    static const int ready = OPENSSL_init_crypto(OPENSSL_INIT_NO_LOAD_CONFIG, nullptr);
    if (ready != 1) throw std::runtime_error("OpenSSL cannot be used");
    return EVP_sha256();
}

/// These fail where the library is broken or memory has run out, and for no other reason.
void need(int done) {
    if (done != 1) throw std::runtime_error("OpenSSL cannot make a SHA-256");
}

} // namespace

void Sha256::Free::operator()(evp_md_ctx_st* sum) const {
    EVP_MD_CTX_free(sum);
}

Sha256::Sha256() : sum_(EVP_MD_CTX_new()) {
    need(EVP_DigestInit_ex(sum_.get(), algorithm(), nullptr));
}

void Sha256::add(std::string_view bytes) {
    need(EVP_DigestUpdate(sum_.get(), bytes.data(), bytes.size()));
}

std::string Sha256::hex() {
    std::array<unsigned char, EVP_MAX_MD_SIZE> digest{};
    unsigned int size = 0;
    need(EVP_DigestFinal_ex(sum_.get(), digest.data(), &size));
    constexpr std::string_view digits = "0123456789abcdef";
    std::string hex;
    for (unsigned int i = 0; i < size; ++i) {
        hex += digits[digest[i] >> 4U];
        hex += digits[digest[i] & 0xFU];
    }
    return hex;
}

std::string sha256_hex(std::string_view bytes) {
    Sha256 sum;
    sum.add(bytes);
    return sum.hex();
}

} // namespace quaycell
