// Whole numbers packed into as few bytes as their spread needs.
#pragma once

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <memory>
#include <span>
#include <vector>

namespace quaycell {

/// Codes of a converter, counts that rise evenly: a byte each, or none, where they take four. Of
/// each piece (column_piece) a straight line is taken off, and what is left is kept in as many
/// bytes as the largest needs.
class PackedColumn {
  public:
    /// `absent` stands where nothing was measured; it costs a bit.
    explicit PackedColumn(std::int64_t absent = INT64_MIN) : absent_(absent) {}
    PackedColumn(PackedColumn&&) = default;
    PackedColumn& operator=(PackedColumn&&) = default;

    void add(std::int64_t value) {
        waiting_[held_] = value;
        any_absent_ |= value == absent_;
        if (++held_ == piece_size) pack();
    }

    /// So many at once: value(i) tells each.
    template <typename ValueAt>
    void add(std::size_t count, ValueAt value) {
        for (std::size_t done = 0; done < count;) {
            const std::size_t here = std::min(count - done, piece_size - held_);
            bool any_absent = false;
            for (std::size_t i = 0; i < here; ++i) {
                const std::int64_t each = value(done + i);
                waiting_[held_ + i] = each;
                any_absent |= each == absent_;
            }
            any_absent_ |= any_absent;
            done += here;
            held_ += here;
            if (held_ == piece_size) pack();
        }
    }

    /// To be called when all are added, before any is read.
    void finish();

    std::size_t size() const { return size_; }

    /// The values from `first` on, which begins a piece; out ends with it or with the column. Where
    /// all values fit 32 bits, these are faster.
    void read(std::size_t first, std::span<std::int64_t> out) const;
    void read(std::size_t first, std::span<std::int32_t> out) const;

  private:
    static constexpr std::size_t piece_size = 4096;

    struct Piece {
        std::int64_t base = 0;
        std::int64_t slope = 0;
        std::uint8_t width = 0;                     ///< bytes of each remainder: 0, 1, 2, 4, 8
        std::unique_ptr<std::uint8_t[]> present;    ///< a bit each; none where all are there
        std::unique_ptr<std::uint8_t[]> remainders; ///< of those that are there
    };

    void pack();
    std::span<std::int64_t> take_out_absent(std::span<std::int64_t> values, Piece& piece) const;
    template <typename Number>
    void read_piece(const Piece& piece, std::span<Number> out) const;

    std::int64_t absent_;
    std::size_t size_ = 0;
    std::vector<std::int64_t> waiting_ = std::vector<std::int64_t>(piece_size);
    std::size_t held_ = 0;    ///< of those, from the first on
    bool any_absent_ = false; ///< among them
    std::vector<Piece> pieces_;
};

} // namespace quaycell
