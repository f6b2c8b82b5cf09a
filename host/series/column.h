// A column of a trace that need not be held whole: its values are made piece by piece, when they
// are asked for.
#pragma once

#include <algorithm>
#include <concepts>
#include <cstddef>
#include <functional>
#include <memory>
#include <span>
#include <utility>
#include <vector>

namespace quaycell {

/// So many values are made at a time; pieces begin at multiples of it.
inline constexpr std::size_t column_piece = 4096;

/// Cheap to copy; what it reads from lives as long as the column. One after another values cost
/// about as much as those of a vector, here and there each costs a piece. Not for several threads:
/// each takes a copy, which has a piece of its own and so have the columns that it reads from.
template <typename Value>
class Column {
  public:
    /// Fills `out` with the values from `first` on. `first` begins a piece, `out` ends with it or
    /// with the column.
    using Make = std::function<void(std::size_t first, std::span<Value> out)>;

    Column() = default;
    Column(std::vector<Value> values) {
        const auto held = std::make_shared<const std::vector<Value>>(std::move(values));
        *this = Column(held, *held);
    }
    /// Values that `owner` keeps.
    Column(std::shared_ptr<const void> owner, std::span<const Value> values)
        : size_(values.size()), owner_(std::move(owner)), values_(values.data()),
          held_(values.size()) {}
    Column(std::size_t size, Make make)
        : size_(size), make_(std::make_shared<const Make>(std::move(make))) {}

    Column(const Column& other)
        : size_(other.size_),
          make_(other.make_ ? std::make_shared<const Make>(*other.make_) : nullptr),
          owner_(other.owner_), values_(make_ ? nullptr : other.values_),
          held_(make_ ? 0 : other.held_) {}
    Column& operator=(const Column& other) {
        Column copy(other);
        *this = std::move(copy);
        return *this;
    }
    Column(Column&&) noexcept = default;
    Column& operator=(Column&&) noexcept = default;
    ~Column() = default;

    std::size_t size() const { return size_; }
    bool empty() const { return size_ == 0; }

    Value operator[](std::size_t i) const {
        if (i - first_ >= held_) load(i);
        return values_[i - first_];
    }
    Value front() const { return (*this)[0]; }
    Value back() const { return (*this)[size_ - 1]; }

    /// The values from i on, as many as are at hand, which is one at least; until the next access.
    std::span<const Value> from(std::size_t i) const {
        if (i - first_ >= held_) load(i);
        return {values_ + (i - first_), first_ + held_ - i};
    }

    /// Copies the values from `first` on.
    void read(std::size_t first, std::span<Value> out) const {
        while (!out.empty()) {
            const std::span<const Value> part = from(first);
            const std::size_t count = std::min(part.size(), out.size());
            std::copy_n(part.begin(), count, out.begin());
            first += count;
            out = out.subspan(count);
        }
    }

    std::vector<Value> whole() const {
        std::vector<Value> values(size_, blank());
        read(0, values);
        return values;
    }

  private:
    static Value blank() {
        if constexpr (std::default_initializable<Value>)
            return Value{};
        else
            return Value(0);
    }

    void load(std::size_t i) const {
        first_ = i - i % column_piece;
        held_ = std::min(column_piece, size_ - first_);
        piece_.resize(held_, blank());
        (*make_)(first_, piece_);
        values_ = piece_.data();
    }

    std::size_t size_ = 0;
    std::shared_ptr<const Make> make_; ///< none where all values are at hand
    std::shared_ptr<const void> owner_;
    mutable std::vector<Value> piece_;
    mutable const Value* values_ = nullptr;
    mutable std::size_t first_ = 0;
    mutable std::size_t held_ = 0;
};

} // namespace quaycell
