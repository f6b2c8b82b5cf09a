#include "series/packed_column.h"

#include "series/column.h"

#include <algorithm>
#include <bit>
#include <cstring>
#include <type_traits>

namespace quaycell {

namespace {

using Numbers = std::span<std::int64_t>;

/// Differences of whole numbers wrap round, so that any fit.
std::int64_t difference(std::int64_t a, std::int64_t b) {
    return static_cast<std::int64_t>(static_cast<std::uint64_t>(a) - static_cast<std::uint64_t>(b));
}

std::int64_t on_line(std::int64_t base, std::int64_t slope, std::size_t i) {
    return static_cast<std::int64_t>(static_cast<std::uint64_t>(base) +
                                     static_cast<std::uint64_t>(slope) * i);
}

std::uint8_t width_for(std::uint64_t largest) {
    if (largest == 0) return 0;
    if (largest <= UINT8_MAX) return 1;
    if (largest <= UINT16_MAX) return 2;
    return largest <= UINT32_MAX ? 4 : 8;
}

template <typename Remainder>
void write_as(std::span<const std::int64_t> values, std::int64_t base, std::int64_t slope,
              std::uint8_t* out) {
    for (std::size_t i = 0; i < values.size(); ++i) {
        const auto value = static_cast<Remainder>(difference(values[i], on_line(base, slope, i)));
        std::memcpy(out + i * sizeof value, &value, sizeof value);
    }
}

/// In as many bits as the numbers have: what is beyond them falls away on both sides of the sum.
template <typename Remainder, typename Number>
void read_as(const std::uint8_t* in, std::int64_t base, std::int64_t slope, std::span<Number> out) {
    using Bits = std::make_unsigned_t<Number>;
    const auto first = static_cast<Bits>(base), step = static_cast<Bits>(slope);
    for (std::size_t i = 0; i < out.size(); ++i) {
        Remainder value;
        std::memcpy(&value, in + i * sizeof value, sizeof value);
        out[i] =
            static_cast<Number>(first + step * static_cast<Bits>(i) + static_cast<Bits>(value));
    }
}

template <typename Number>
void fill_with_line(std::int64_t base, std::int64_t slope, std::span<Number> out) {
    using Bits = std::make_unsigned_t<Number>;
    auto value = static_cast<Bits>(base);
    for (Number& each : out) {
        each = static_cast<Number>(value);
        value += static_cast<Bits>(slope);
    }
}

constexpr std::size_t bits_in_byte = 8;

} // namespace

void PackedColumn::finish() {
    if (held_ != 0) pack();
    waiting_ = {};
    pieces_.shrink_to_fit();
}

/// Those that are there, moved to the front.
Numbers PackedColumn::take_out_absent(Numbers values, Piece& piece) const {
    if (!any_absent_) return values;
    piece.present =
        std::make_unique<std::uint8_t[]>((values.size() + bits_in_byte - 1) / bits_in_byte);
    std::size_t count = 0;
    for (std::size_t i = 0; i < values.size(); ++i) {
        const bool is_there = values[i] != absent_;
        piece.present[i / bits_in_byte] |=
            static_cast<std::uint8_t>((is_there ? 1U : 0U) << i % bits_in_byte);
        values[count] = values[i];
        count += is_there;
    }
    return values.first(count);
}

void PackedColumn::pack() {
    static_assert(piece_size == column_piece);
    Piece piece;
    size_ += held_;
    const Numbers values = take_out_absent(std::span(waiting_).first(held_), piece);
    held_ = 0;
    any_absent_ = false;
    if (values.size() > 1)
        piece.slope = difference(values.back(), values.front()) /
                      static_cast<std::int64_t>(values.size() - 1);
    if (!values.empty()) {
        std::int64_t low = values.front(), high = low;
        for (std::size_t i = 0; i < values.size(); ++i) {
            const std::int64_t off = difference(values[i], on_line(0, piece.slope, i));
            low = std::min(low, off);
            high = std::max(high, off);
        }
        piece.base = low;
        piece.width = width_for(static_cast<std::uint64_t>(difference(high, low)));
        piece.remainders =
            std::make_unique_for_overwrite<std::uint8_t[]>(values.size() * piece.width);
        std::uint8_t* const out = piece.remainders.get();
        switch (piece.width) {
        case 1:
            write_as<std::uint8_t>(values, low, piece.slope, out);
            break;
        case 2:
            write_as<std::uint16_t>(values, low, piece.slope, out);
            break;
        case 4:
            write_as<std::uint32_t>(values, low, piece.slope, out);
            break;
        case 8:
            write_as<std::uint64_t>(values, low, piece.slope, out);
            break;
        default:
            break;
        }
    }
    pieces_.push_back(std::move(piece));
}

template <typename Number>
void PackedColumn::read_piece(const Piece& piece, std::span<Number> out) const {
    const std::size_t bytes = (out.size() + bits_in_byte - 1) / bits_in_byte;
    std::size_t count = out.size();
    if (piece.present) {
        // Whoever reads a part of a piece asks for a part of its last byte.
        count = 0;
        for (std::size_t k = 0; k < bytes; ++k) {
            const std::size_t over = std::max(bits_in_byte * (k + 1), out.size()) - out.size();
            count += static_cast<std::size_t>(
                std::popcount(static_cast<std::uint8_t>(piece.present[k] << over)));
        }
    }
    const std::span<Number> there = out.first(count);
    const std::uint8_t* in = piece.remainders.get();
    switch (piece.width) {
    case 1:
        read_as<std::uint8_t>(in, piece.base, piece.slope, there);
        break;
    case 2:
        read_as<std::uint16_t>(in, piece.base, piece.slope, there);
        break;
    case 4:
        read_as<std::uint32_t>(in, piece.base, piece.slope, there);
        break;
    case 8:
        read_as<std::uint64_t>(in, piece.base, piece.slope, there);
        break;
    default:
        fill_with_line(piece.base, piece.slope, there);
        break;
    }
    if (!piece.present) return;
    // From the end, so that what is still to be moved is not overwritten.
    const auto absent = static_cast<Number>(absent_);
    for (std::size_t k = bytes; k-- > 0;) {
        const std::size_t first = bits_in_byte * k;
        const unsigned bits = piece.present[k];
        for (std::size_t i = std::min(first + bits_in_byte, out.size()); i-- > first;)
            out[i] = (bits >> (i - first) & 1U) != 0 ? out[--count] : absent;
    }
}

void PackedColumn::read(std::size_t first, std::span<std::int64_t> out) const {
    read_piece(pieces_[first / piece_size], out);
}
void PackedColumn::read(std::size_t first, std::span<std::int32_t> out) const {
    read_piece(pieces_[first / piece_size], out);
}

} // namespace quaycell
