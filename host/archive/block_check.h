// Whether the blocks of records are what was written: nearly all of an archive's bytes.
#pragma once

#include "archive/record_visitor.h"
#include "archive/sqlite.h"

namespace quaycell {

/// How many rows of table block do not have the checksum that row_checksum() makes of them. Several
/// are summed side by side, because one sum waits for its own last step most of the time. A visitor
/// is shown the records of the others.
Result<std::int64_t> rotten_blocks(sqlite::Database& database, RecordVisitor* visitor);

} // namespace quaycell
