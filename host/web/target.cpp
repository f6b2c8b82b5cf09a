#include "web/target.h"

#include "chart/text.h"

#include <algorithm>

namespace quaycell::web {

namespace {

bool is_small_letter(char c) {
    return c >= 'a' && c <= 'z';
}

bool is_of_name(char c) {
    return is_small_letter(c) || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '-' ||
           c == '_';
}

bool is_path(std::string_view path) {
    if (path.empty() || path.front() != '/') return false;
    for (std::size_t i = 1; i < path.size(); ++i) {
        const bool inside_name =
            is_of_name(path[i - 1]) && i + 1 < path.size() && is_of_name(path[i + 1]);
        const bool allowed = is_of_name(path[i]) || (path[i] == '/' && path[i - 1] != '/') ||
                             (path[i] == '.' && inside_name);
        if (!allowed) return false;
    }
    return true;
}

std::optional<int> hex_digit(char c) {
    if (c >= '0' && c <= '9') return c - '0';
    if (c >= 'a' && c <= 'f') return c - 'a' + 10;
    if (c >= 'A' && c <= 'F') return c - 'A' + 10;
    return std::nullopt;
}

bool is_printable(char c) {
    return c >= ' ' && c <= '~';
}

/// Text for a person: without what would turn its direction or hide in it.
bool is_plain(const std::string& text) {
    return is_utf8(text) && clean_text(text) == text;
}

std::optional<std::string> decoded(std::string_view text) {
    constexpr int base = 16;
    std::string value;
    for (std::size_t i = 0; i < text.size(); ++i) {
        char c = text[i];
        if (!is_printable(c)) return std::nullopt; // it has to be percent-encoded
        if (c == '+') {
            c = ' ';
        } else if (c == '%') {
            if (i + 2 >= text.size()) return std::nullopt;
            const auto high = hex_digit(text[i + 1]);
            const auto low = hex_digit(text[i + 2]);
            if (!high || !low) return std::nullopt;
            c = static_cast<char>(*high * base + *low);
            i += 2;
        }
        value += c;
    }
    if (value.size() > longest_value || !is_plain(value)) return std::nullopt;
    return value;
}

/// Adds "name=value"; false where it is none, or the name is there already.
bool add_field(Query& query, std::string_view field) {
    const auto equals = field.find('=');
    if (equals == std::string_view::npos || equals == 0) return false;
    const std::string_view name = field.substr(0, equals);
    if (!std::ranges::all_of(name, [](char c) { return is_small_letter(c) || c == '_'; }))
        return false;
    auto value = decoded(field.substr(equals + 1));
    return value && query.emplace(name, std::move(*value)).second;
}

} // namespace

std::optional<Target> parse_target(std::string_view target) {
    if (target.size() > longest_target) return std::nullopt;
    const auto mark = target.find('?');
    const std::string_view path = target.substr(0, mark);
    if (!is_path(path)) return std::nullopt;
    Target parsed{std::string(path), {}};
    if (mark == std::string_view::npos) return parsed;
    std::string_view fields = target.substr(mark + 1);
    while (!fields.empty()) {
        const std::string_view field = fields.substr(0, fields.find('&'));
        if (parsed.query.size() == most_fields || !add_field(parsed.query, field))
            return std::nullopt;
        fields.remove_prefix(std::min(field.size() + 1, fields.size()));
    }
    return parsed;
}

std::string field(const Query& query, std::string_view name) {
    const auto found = query.find(name);
    return found == query.end() ? std::string() : found->second;
}

} // namespace quaycell::web
