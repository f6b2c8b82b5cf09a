// The tables of an archive as the first program made them. Kept as they were: such files exist.
#pragma once

namespace quaycell::test {

constexpr const char* schema_1 = R"sql(
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
;
PRAGMA application_id = 1363363148;
PRAGMA user_version = 1;
)sql";

} // namespace quaycell::test
