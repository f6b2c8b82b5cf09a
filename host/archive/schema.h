// The tables of the archive and how an older file gets them.
#pragma once

#include "archive/sqlite.h"

namespace quaycell {

/// Brings an open database to this program's schema, in one transaction.
Result<Done> migrate(sqlite::Database& database);

/// Error: wrong_version when the file's schema is newer than this program, or (for a file that is
/// only to be read) older.
Result<Done> require_current_schema(sqlite::Database& database, const std::string& path,
                                    bool may_migrate);

} // namespace quaycell
