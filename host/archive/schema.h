// The tables of the archive and how an older file gets them.
#pragma once

#include "archive/record_visitor.h"
#include "archive/sqlite.h"

namespace quaycell {

/// Brings an open database to this program's schema, in one transaction.
Result<Done> migrate(sqlite::Database& database);

enum class Schema { older, current };

/// Error: wrong_version when the file's schema is newer than this program.
Result<Schema> schema_of(sqlite::Database& database, const std::string& path);

/// Whether each row is what was written, as far as the file's schema lets one tell. Error: damaged.
/// A visitor is shown the records of the blocks that are.
Result<Done> check_content(sqlite::Database& database, const std::string& path,
                           RecordVisitor* visitor);

} // namespace quaycell
