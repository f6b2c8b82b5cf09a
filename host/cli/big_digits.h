// A number large enough to be read from some steps away.
#pragma once

#include <array>
#include <string>
#include <string_view>

namespace quaycell {

inline constexpr std::size_t big_rows = 5;

/// Rows of blanks and `block`, all as wide as each other, for digits, "-" and "."; other characters
/// are left out.
std::array<std::string, big_rows> big_digits(std::string_view number, std::string_view block);

} // namespace quaycell
