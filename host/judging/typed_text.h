// What people type to be kept as words.
#pragma once

#include "base/result.h"

#include <optional>
#include <string>
#include <string_view>

namespace quaycell {

/// An error (wrong_usage) unless it is UTF-8 of one line, without control characters and those that
/// turn the direction of writing: it could not be shown as it is, and no document could hold it.
std::optional<Error> not_a_line(std::string_view typed, const std::string& option);

} // namespace quaycell
