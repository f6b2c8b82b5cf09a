#include "web/tokens.h"

#include <array>
#include <sodium.h>
#include <stdexcept>

namespace quaycell::web {

namespace {

constexpr std::size_t token_bytes = 16;

std::string new_token() {
    std::array<unsigned char, token_bytes> random{};
    randombytes_buf(random.data(), random.size());
    constexpr int variant = sodium_base64_VARIANT_URLSAFE_NO_PADDING;
    std::string text(sodium_base64_ENCODED_LEN(token_bytes, variant), '\0');
    sodium_bin2base64(text.data(), text.size(), random.data(), random.size(), variant);
    text.pop_back(); // the zero that ends it
    return text;
}

} // namespace

Tokens new_tokens() {
    if (sodium_init() < 0) throw std::runtime_error("libsodium cannot be initialised");
    return {new_token(), new_token()};
}

bool same_secret(std::string_view given, std::string_view secret) {
    return given.size() == secret.size() &&
           sodium_memcmp(given.data(), secret.data(), secret.size()) == 0;
}

} // namespace quaycell::web
