// The rows that can still be read from the bytes of a SQLite file whose structure no longer holds:
// each page is looked at for itself, without the tree that leads to it.
#pragma once

#include "archive/sqlite.h"
#include "base/result.h"

#include <filesystem>
#include <functional>

namespace quaycell {

/// One value as it is stored. type: '-' null, 'i' integer, 't' text, 'b' blob, '?' anything else.
struct StoredValue {
    char type = '?';
    std::int64_t integer = 0;
    sqlite::Blob bytes; ///< of a text or a blob
};

struct StoredRow {
    std::int64_t rowid = 0; ///< 0 in a table without one
    std::vector<StoredValue> values;
};

struct StoredRows {
    std::int64_t user_version = 0;
    std::vector<StoredRow> rows;
};

/// Every row that parses, of whatever table, a write-ahead log beside the file included. Rows may
/// come twice and may hold nonsense: the caller has to know them by their types and checksums.
/// Error: failed when the file cannot be read.
Result<StoredRows> stored_rows(const std::filesystem::path& path);

} // namespace quaycell
