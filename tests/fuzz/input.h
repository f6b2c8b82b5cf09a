// What every fuzzer needs: the bytes it is given, taken piece by piece, and a way to say that a
// promise was broken.
#pragma once

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <span>
#include <string_view>

namespace quaycell::fuzz {

class Input {
  public:
    Input(const std::uint8_t* bytes, std::size_t count) : left_(bytes, count) {}

    bool empty() const { return left_.empty(); }

    /// Zero once nothing is left.
    std::uint8_t byte() {
        const auto taken = bytes(1);
        return taken.empty() ? std::uint8_t{0} : taken.front();
    }

    /// At most `count` bytes; fewer at the end.
    std::span<const std::uint8_t> bytes(std::size_t count) {
        const auto taken = left_.first(std::min(count, left_.size()));
        left_ = left_.subspan(taken.size());
        return taken;
    }

  private:
    std::span<const std::uint8_t> left_;
};

inline std::string_view text_of(const std::uint8_t* bytes, std::size_t count) {
    return {reinterpret_cast<const char*>(bytes), count};
}

/// The fuzzer keeps the input that breaks a promise.
inline void promise(bool kept) {
    if (!kept) std::abort();
}

} // namespace quaycell::fuzz
