#include "series/packed_column.h"

#include "series/column.h"

#include <algorithm>
#include <cstring>

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
void write_as(std::span<const std::int64_t> values, std::uint8_t* out) {
    for (std::size_t i = 0; i < values.size(); ++i) {
        const auto value = static_cast<Remainder>(values[i]);
        std::memcpy(out + i * sizeof value, &value, sizeof value);
    }
}

template <typename Remainder>
void read_as(const std::uint8_t* in, std::int64_t base, std::int64_t slope, Numbers out) {
    for (std::size_t i = 0; i < out.size(); ++i) {
        Remainder value;
        std::memcpy(&value, in + i * sizeof value, sizeof value);
        out[i] = on_line(on_line(base, slope, i), 1, value);
    }
}

bool is_set(const std::uint8_t* bits, std::size_t i) {
    return (bits[i / 8] >> (i % 8) & 1U) != 0;
}

} // namespace

void PackedColumn::finish() {
    if (!waiting_.empty()) pack();
    waiting_ = {};
    pieces_.shrink_to_fit();
}

void PackedColumn::pack() {
    static_assert(piece_size == column_piece);
    Piece piece;
    size_ += waiting_.size();
    std::size_t count = 0; // of those that are there, moved to the front
    const auto missing = std::ranges::count(waiting_, absent_);
    if (missing != 0) {
        piece.present = std::make_unique<std::uint8_t[]>((waiting_.size() + 7) / 8);
        for (std::size_t i = 0; i < waiting_.size(); ++i) {
            if (waiting_[i] == absent_) continue;
            piece.present[i / 8] |= static_cast<std::uint8_t>(1U << (i % 8));
            waiting_[count++] = waiting_[i];
        }
        waiting_.resize(count);
    }
    count = waiting_.size();
    if (count > 1)
        piece.slope =
            difference(waiting_.back(), waiting_.front()) / static_cast<std::int64_t>(count - 1);
    if (count > 0) {
        for (std::size_t i = 0; i < count; ++i)
            waiting_[i] = difference(waiting_[i], on_line(0, piece.slope, i));
        const auto [low, high] = std::ranges::minmax(waiting_);
        piece.base = low;
        for (std::int64_t& value : waiting_)
            value = difference(value, low);
        piece.width = width_for(static_cast<std::uint64_t>(difference(high, low)));
        piece.remainders = std::make_unique_for_overwrite<std::uint8_t[]>(count * piece.width);
        switch (piece.width) {
        case 1:
            write_as<std::uint8_t>(waiting_, piece.remainders.get());
            break;
        case 2:
            write_as<std::uint16_t>(waiting_, piece.remainders.get());
            break;
        case 4:
            write_as<std::uint32_t>(waiting_, piece.remainders.get());
            break;
        case 8:
            write_as<std::uint64_t>(waiting_, piece.remainders.get());
            break;
        default:
            break;
        }
    }
    pieces_.push_back(std::move(piece));
    waiting_.clear();
}

void PackedColumn::read(std::size_t first, Numbers out) const {
    const Piece& piece = pieces_[first / piece_size];
    std::size_t count = out.size();
    if (piece.present) {
        count = 0;
        for (std::size_t i = 0; i < out.size(); ++i)
            count += is_set(piece.present.get(), i);
    }
    const Numbers there = out.first(count);
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
        for (std::size_t i = 0; i < there.size(); ++i)
            there[i] = on_line(piece.base, piece.slope, i);
        break;
    }
    if (!piece.present) return;
    for (std::size_t i = out.size(); i-- > 0;)
        out[i] = is_set(piece.present.get(), i) ? out[--count] : absent_;
}

} // namespace quaycell
