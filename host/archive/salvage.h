// What is still sound of a damaged archive.
#pragma once

#include "archive/sqlite.h"
#include "base/record_bytes.h"

#include <filesystem>

namespace quaycell {

/// What is good of a block that is not sound as a whole: each record by its own checksum.
struct LooseBlock {
    std::uint32_t device;
    std::vector<SequencedRecord> records;
};

struct Salvage {
    sqlite::Database database; ///< in memory, with this program's schema and every sound row
    std::vector<LooseBlock> loose;
    std::vector<std::string> losses; ///< in words: rows of which only the traces are left
};

/// Reads what it can; the file stays as it is. Error: failed when it cannot be read at all.
Result<Salvage> salvage(const std::filesystem::path& path);

} // namespace quaycell
