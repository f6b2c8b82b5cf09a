#include "evidence/signature.h"

#include "evidence/sha256.h"

#include <algorithm>
#include <fmt/format.h>
#include <optional>
#include <sodium.h>
#include <vector>

namespace quaycell {

namespace {

using Key = std::array<std::uint8_t, 32>;
static_assert(std::tuple_size_v<Key> == crypto_sign_SEEDBYTES &&
              std::tuple_size_v<Key> == crypto_sign_PUBLICKEYBYTES);

/// One kind of key file: its label in PEM, and the DER before the 32 bytes of the key. RFC 8410,
/// sections 4 and 7: the algorithm is 1.3.101.112 (hexadecimal 06 03 2b 65 70), without parameters.
struct KeyFile {
    std::string_view label;
    std::string_view der_before;
};
constexpr KeyFile secret_file{
    "PRIVATE KEY", {"\x30\x2e\x02\x01\x00\x30\x05\x06\x03\x2b\x65\x70\x04\x22\x04\x20", 16}};
constexpr KeyFile public_file{"PUBLIC KEY",
                              {"\x30\x2a\x30\x05\x06\x03\x2b\x65\x70\x03\x21\x00", 12}};

constexpr int base64 = sodium_base64_VARIANT_ORIGINAL;

const unsigned char* bytes_of(std::string_view text) {
    return reinterpret_cast<const unsigned char*>(text.data());
}

std::string der_of(const Key& key, const KeyFile& file) {
    std::string der(file.der_before);
    der.append(key.begin(), key.end());
    return der;
}

/// Room for any of these texts, so that none moves in memory and leaves a copy behind.
constexpr std::size_t longest_pem = 256;

std::string pem_of(const Key& key, const KeyFile& file) {
    std::string der = der_of(key, file);
    std::string text(sodium_base64_ENCODED_LEN(der.size(), base64), '\0');
    sodium_bin2base64(text.data(), text.size(), bytes_of(der), der.size(), base64);
    text.pop_back(); // the zero that ends it
    std::string pem;
    pem.reserve(longest_pem);
    pem.append("-----BEGIN ").append(file.label).append("-----\n").append(text);
    pem.append("\n-----END ").append(file.label).append("-----\n");
    wipe(der);
    wipe(text);
    return pem;
}

std::string begin_of(const KeyFile& file) {
    return fmt::format("-----BEGIN {}-----", file.label);
}

/// Whether there is one, which is then in `key`.
bool take_key(std::string_view pem, const KeyFile& file, Key& key) {
    const std::string begin = begin_of(file);
    const std::string end = fmt::format("-----END {}-----", file.label);
    const std::size_t from = pem.find(begin);
    const std::size_t to = pem.find(end);
    if (from == std::string_view::npos || to == std::string_view::npos || to < from) return false;
    const std::string_view text = pem.substr(from + begin.size(), to - from - begin.size());
    std::vector<unsigned char> der(text.size());
    std::size_t length = 0;
    const bool is_key =
        sodium_base642bin(der.data(), der.size(), text.data(), text.size(), " \r\n\t", &length,
                          nullptr, base64) == 0 &&
        length == file.der_before.size() + sizeof(Key) &&
        std::equal(file.der_before.begin(), file.der_before.end(), der.begin(),
                   [](char a, unsigned char b) { return static_cast<unsigned char>(a) == b; });
    if (is_key) std::copy_n(der.data() + file.der_before.size(), key.size(), key.begin());
    sodium_memzero(der.data(), der.size());
    return is_key;
}

/// libsodium asks for this before anything else of it; again does no harm.
void start_library() {
    if (sodium_init() < 0) throw std::runtime_error("libsodium cannot be used here");
}

/// As libsodium keeps a secret key: the seed, and the public key behind it.
class KeyPair {
  public:
    explicit KeyPair(const SecretKey& key) {
        start_library();
        crypto_sign_seed_keypair(public_key_.bytes.data(), secret_.data(), key.bytes.data());
    }
    KeyPair(const KeyPair&) = delete;
    KeyPair& operator=(const KeyPair&) = delete;
    ~KeyPair() { sodium_memzero(secret_.data(), secret_.size()); }

    const PublicKey& public_key() const { return public_key_; }
    const unsigned char* secret() const { return secret_.data(); }

  private:
    PublicKey public_key_{};
    std::array<unsigned char, crypto_sign_SECRETKEYBYTES> secret_{};
};

constexpr const char* how_to_make =
    "`quaycell report --new-key FILE` makes a pair: FILE, and FILE.pub for others.";

bool holds(std::string_view pem, const KeyFile& file) {
    return pem.find(begin_of(file)) != std::string_view::npos;
}

} // namespace

SecretKey::~SecretKey() {
    sodium_memzero(bytes.data(), bytes.size());
}

void wipe(std::string& secret) {
    sodium_memzero(secret.data(), secret.size());
    secret.clear();
}

SecretKey new_secret_key() {
    start_library();
    SecretKey key;
    randombytes_buf(key.bytes.data(), key.bytes.size());
    return key;
}

PublicKey public_key_of(const SecretKey& key) {
    return KeyPair(key).public_key();
}

std::string signature_of(std::string_view bytes, const SecretKey& key) {
    const KeyPair pair(key);
    std::array<unsigned char, crypto_sign_BYTES> signature{};
    crypto_sign_detached(signature.data(), nullptr, bytes_of(bytes), bytes.size(), pair.secret());
    return {signature.begin(), signature.end()};
}

bool is_signature_of(std::string_view bytes, std::string_view signature, const PublicKey& key) {
    start_library();
    return signature.size() == crypto_sign_BYTES &&
           crypto_sign_verify_detached(bytes_of(signature), bytes_of(bytes), bytes.size(),
                                       key.bytes.data()) == 0;
}

std::string fingerprint(const PublicKey& key) {
    return sha256_hex(der_of(key.bytes, public_file));
}

std::string to_pem(const SecretKey& key) {
    return pem_of(key.bytes, secret_file);
}

std::string to_pem(const PublicKey& key) {
    return pem_of(key.bytes, public_file);
}

Result<SecretKey> parse_secret_key(std::string_view pem, const std::string& where) {
    SecretKey key;
    if (take_key(pem, secret_file, key.bytes)) return key;
    if (holds(pem, public_file))
        return Error{ErrorCode::wrong_input,
                     "this is the public key of a pair; the secret one signs", where,
                     "Name the file without .pub at its end."};
    return Error{ErrorCode::wrong_input, "this is no secret key of Ed25519 in PEM", where,
                 how_to_make};
}

Result<PublicKey> parse_public_key(std::string_view pem, const std::string& where) {
    PublicKey key{};
    if (take_key(pem, public_file, key.bytes)) return key;
    if (holds(pem, secret_file))
        return Error{ErrorCode::wrong_input,
                     "this is the secret key of a pair, which nobody but the signer should have; "
                     "the public one verifies",
                     where, "Name the file that ends in .pub."};
    return Error{ErrorCode::wrong_input, "this is no public key of Ed25519 in PEM", where,
                 how_to_make};
}

} // namespace quaycell
