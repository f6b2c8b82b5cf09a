// The target of a request: a path and the fields of its query. What a path can be is so narrow that
// it cannot mean a file: letters, digits, '-', '_', single slashes and points inside a name.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <string_view>

namespace quaycell::web {

using Query = std::map<std::string, std::string, std::less<>>;

struct Target {
    std::string path; ///< "/api/week"
    Query query;
};

inline constexpr std::size_t longest_target = 1024;
inline constexpr std::size_t longest_value = 180; ///< of a field of the query, decoded: bytes
inline constexpr std::size_t most_fields = 8;

/// Nothing where it is no such target. Names of fields are small letters and '_', each once; their
/// values text in UTF-8 without control characters, those that turn the direction of writing
/// included, all but printable ASCII percent-encoded (RFC 3986), and a blank as '+', as a browser's
/// URLSearchParams writes them.
std::optional<Target> parse_target(std::string_view target);

/// The value of that name; empty where there is none.
std::string field(const Query& query, std::string_view name);

} // namespace quaycell::web
