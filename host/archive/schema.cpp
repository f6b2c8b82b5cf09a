#include "archive/schema.h"

#include "archive/file_check.h"

#include <array>
#include <fmt/format.h>

namespace quaycell {

namespace {

/// Step n leads from schema n to schema n + 1 (PRAGMA user_version). Steps are only ever added.
///
/// Times are Unix milliseconds, UTC. Blobs are the structs of the wire, verbatim.
constexpr std::array migrations{
    R"sql(
CREATE TABLE block (            -- records as collected: consecutive, of one boot, of one flash sector
    device INTEGER NOT NULL,
    boot INTEGER NOT NULL,
    first_sequence INTEGER NOT NULL,
    count INTEGER NOT NULL,
    records BLOB NOT NULL,
    PRIMARY KEY (device, boot, first_sequence),
    CHECK (length(records) = 32 * count)
) WITHOUT ROWID;

CREATE TABLE logger (           -- a new row whenever any of it has changed
    id INTEGER PRIMARY KEY,
    device INTEGER NOT NULL,
    first_seen_ms INTEGER NOT NULL,
    firmware_version INTEGER NOT NULL,
    firmware_build INTEGER NOT NULL,
    circuit BLOB NOT NULL
);
CREATE INDEX logger_device ON logger (device);

CREATE TABLE calibration (      -- likewise
    id INTEGER PRIMARY KEY,
    device INTEGER NOT NULL,
    first_seen_ms INTEGER NOT NULL,
    calibration BLOB NOT NULL
);
CREATE INDEX calibration_device ON calibration (device);

CREATE TABLE collection (
    id INTEGER PRIMARY KEY,
    at_ms INTEGER NOT NULL,
    device INTEGER NOT NULL,
    first_sequence INTEGER NOT NULL,
    next_sequence INTEGER NOT NULL,
    added INTEGER NOT NULL,
    bad INTEGER NOT NULL,
    host_version TEXT NOT NULL
);
CREATE INDEX collection_device ON collection (device);

CREATE TABLE note (             -- never changed: a correction is a note of its own
    id INTEGER PRIMARY KEY,
    device INTEGER NOT NULL,
    at_ms INTEGER NOT NULL,
    text TEXT NOT NULL,
    author TEXT NOT NULL,
    written_at_ms INTEGER NOT NULL
);
CREATE INDEX note_device ON note (device);

CREATE TABLE imported_trace (   -- readings that come from elsewhere
    id INTEGER PRIMARY KEY,
    name TEXT NOT NULL,
    from_ms INTEGER NOT NULL,
    readings INTEGER NOT NULL,
    csv TEXT NOT NULL,          -- the trace CSV
    imported_at_ms INTEGER NOT NULL
);
)sql"};

constexpr std::int64_t current_schema = migrations.size();

} // namespace

Result<Done> migrate(sqlite::Database& database) {
    auto transaction = sqlite::Transaction::begin(database);
    if (!transaction) return transaction.error();
    // Read under the lock: another program may have been faster.
    const auto schema = database.integer("PRAGMA user_version");
    if (!schema) return schema.error();
    for (auto step = static_cast<std::size_t>(*schema); step < migrations.size(); ++step) {
        if (const auto done = database.run(migrations[step]); !done) return done.error();
    }
    const auto marked =
        database.run(fmt::format("PRAGMA application_id = {}; PRAGMA user_version = {};",
                                 archive_application_id, current_schema));
    if (!marked) return marked.error();
    return transaction->commit();
}

Result<Done> require_current_schema(sqlite::Database& database, const std::string& path,
                                    bool may_migrate) {
    const auto schema = database.integer("PRAGMA user_version");
    if (!schema) return schema.error();
    if (*schema > current_schema)
        return Error{ErrorCode::wrong_version,
                     fmt::format("the archive has schema {}, this program knows schemas up to {}",
                                 *schema, current_schema),
                     path, "It was left as it is. Install the newest program."};
    if (*schema < current_schema && !may_migrate)
        return Error{
            ErrorCode::wrong_version,
            fmt::format("the archive has the older schema {}, this program reads schema {}",
                        *schema, current_schema),
            path, "Collect into it once, which brings it up to date."};
    return Done{};
}

} // namespace quaycell
