// Key files of those who sign reports.
#pragma once

#include "evidence/signature.h"

#include <filesystem>

namespace quaycell {

/// A new pair: `path`, which only its owner may read, and `path`.pub, which is for others. Neither
/// may exist: a key that is lost cannot be had again. Error (refused): one does.
Result<PublicKey> make_key_files(const std::filesystem::path& path);

/// From standard input where the path is "-". Nothing of it is left in memory but the key. Error
/// besides those of reading: refused, when others may read the file.
Result<SecretKey> read_secret_key(const std::filesystem::path& path);

Result<PublicKey> read_public_key(const std::filesystem::path& path);

} // namespace quaycell
