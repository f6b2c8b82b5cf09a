// SHA-256 (FIPS 180-4), by libsodium.
#pragma once

#include <memory>
#include <string>
#include <string_view>

namespace quaycell {

/// The digest in 64 lower-case hexadecimal digits.
std::string sha256_hex(std::string_view bytes);

/// The same of bytes that come piece by piece.
class Sha256 {
  public:
    Sha256();
    ~Sha256();
    Sha256(Sha256&&) noexcept;
    Sha256& operator=(Sha256&&) noexcept;

    void add(std::string_view bytes);
    /// Of all that was added; nothing can be added after it.
    std::string hex();

  private:
    struct State;
    std::unique_ptr<State> state_;
};

} // namespace quaycell
