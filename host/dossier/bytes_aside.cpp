#include "dossier/bytes_aside.h"

#include <algorithm>

namespace quaycell {

namespace {

/// Large enough that handing one over costs nothing beside summing it, small enough that those
/// waiting lie in a processor's cache.
constexpr std::size_t piece_bytes = 256 * 1024;
constexpr std::size_t most_waiting = 8;

} // namespace

BytesAside::BytesAside(Take take)
    : take_(std::move(take)), aside_([this](std::string& piece) { take_(piece); }, most_waiting) {}

void BytesAside::give(std::span<const std::uint8_t> bytes) {
    while (!bytes.empty()) {
        if (next_.empty()) next_.reserve(piece_bytes);
        const std::size_t count = std::min(bytes.size(), piece_bytes - next_.size());
        next_.append(reinterpret_cast<const char*>(bytes.data()), count);
        bytes = bytes.subspan(count);
        if (next_.size() < piece_bytes) continue;
        next_ = aside_.give(std::move(next_));
        next_.clear();
    }
}

void BytesAside::finish() {
    aside_.finish();
    take_(next_);
    next_.clear();
}

} // namespace quaycell
