#include "cli/live_keys.h"

#include <algorithm>

namespace quaycell {

namespace {

constexpr char escape = '\x1b';
constexpr char backspace = '\b', rub_out = '\x7f';
constexpr std::size_t longest_note = 500; // bytes

bool is_control(char c) {
    return static_cast<unsigned char>(c) < 0x20 || c == rub_out;
}

/// What follows an escape at `at` as one key: "[A", "[1;5C", "OP". Nothing for the key Escape.
std::size_t sequence_size(std::string_view bytes, std::size_t at) {
    if (at >= bytes.size() || (bytes[at] != '[' && bytes[at] != 'O')) return 0;
    std::size_t end = at + 1;
    while (end < bytes.size() && (bytes[end] < '@' || bytes[end] > '~'))
        ++end;
    return std::min(end + 1, bytes.size()) - at;
}

LiveKey::What meaning_of(char c) {
    switch (c) {
    case 'q':
    case 'Q':
        return LiveKey::What::end;
    case 'p':
    case 'P':
        return LiveKey::What::plugged;
    case 'u':
    case 'U':
        return LiveKey::What::unplugged;
    case 'w':
    case 'W':
        return LiveKey::What::why;
    case 'n':
    case 'N':
        return LiveKey::What::begin_note;
    default:
        return LiveKey::What::other;
    }
}

/// The last character, however many bytes it has.
void drop_last(std::string& text) {
    while (!text.empty() && (static_cast<unsigned char>(text.back()) & 0xC0) == 0x80)
        text.pop_back();
    if (!text.empty()) text.pop_back();
}

} // namespace

std::vector<LiveKey> LiveKeys::take(std::string_view bytes) {
    std::vector<LiveKey> keys;
    for (std::size_t at = 0; at < bytes.size(); ++at) {
        const char c = bytes[at];
        if (c == escape) {
            const std::size_t more = sequence_size(bytes, at + 1);
            at += more;
            if (more == 0) typed_.reset();
            if (!typed_) keys.push_back({LiveKey::What::other});
        } else if (typed_) {
            type(c, keys);
        } else {
            keys.push_back({meaning_of(c)});
            if (keys.back().what == LiveKey::What::begin_note) typed_.emplace();
        }
    }
    return keys;
}

void LiveKeys::type(char c, std::vector<LiveKey>& keys) {
    if (c == '\r' || c == '\n') {
        if (!typed_->empty()) keys.push_back({LiveKey::What::note, *typed_});
        typed_.reset();
    } else if (c == backspace || c == rub_out) {
        drop_last(*typed_);
    } else if (!is_control(c) && typed_->size() < longest_note) {
        *typed_ += c;
    }
}

} // namespace quaycell
