// Whether a file is an archive, found out before SQLite touches it.
#pragma once

#include "base/result.h"

#include <cstdint>
#include <filesystem>

namespace quaycell {

/// "QCEL": says in SQLite's header whose file this is.
constexpr std::int32_t archive_application_id = 0x5143454C;

enum class FileKind {
    missing,
    empty, ///< a program was killed before it wrote the first page
    archive,
};

/// Error: wrong_input for any other file, which stays as it is; no_permission; not_found when not
/// even the folder exists.
Result<FileKind> check_archive_file(const std::filesystem::path& path);

} // namespace quaycell
