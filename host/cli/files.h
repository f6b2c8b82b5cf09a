// Whole files in and out.
#pragma once

#include "base/result.h"

#include <filesystem>
#include <string>
#include <string_view>

namespace quaycell {

/// The file's bytes. Missing, unreadable and a directory are told apart.
Result<std::string> read_file(const std::filesystem::path& path);

/// Writes beside the target and moves it into place, so that a half-written file never has the
/// name.
Result<Done> write_file(const std::filesystem::path& path, std::string_view bytes);

} // namespace quaycell
