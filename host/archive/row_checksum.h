// What tells a row of the archive that has rotted from one that has not: SQLite checks the
// structure of its file, not what stands in it.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <span>

namespace quaycell {

/// FNV-1a, 64 bits (from memory), over the values of a row in the order of its columns. A text and
/// a blob of the same bytes count the same.
class RowChecksum {
  public:
    void add(std::int64_t value);
    void add(std::span<const std::uint8_t> bytes);

    /// Goes on with several at once, each over bytes of its own. All have as many.
    static constexpr std::size_t lanes = 8;
    struct Lane {
        RowChecksum* sum;
        std::span<const std::uint8_t> bytes;
    };
    static void add_side_by_side(const std::array<Lane, lanes>& together);

    std::int64_t value() const { return static_cast<std::int64_t>(hash_); }

  private:
    void add_byte(std::uint8_t byte);
    void add_number(std::uint64_t number);

    std::uint64_t hash_ = 0xCBF29CE484222325U;
};

} // namespace quaycell
