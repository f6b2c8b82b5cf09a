#include "archive/schema.h"

#include "archive/block_check.h"
#include "archive/file_check.h"
#include "archive/stored_time.h"
#include "base/known_time.h"

#include <algorithm>
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
)sql",
    R"sql(
CREATE TABLE known_bad (        -- numbers without a good record, so that nobody asks for them again
    id INTEGER PRIMARY KEY,
    device INTEGER NOT NULL,
    boot INTEGER NOT NULL,      -- of the logger when it was found out
    first_sequence INTEGER NOT NULL,
    count INTEGER NOT NULL,
    found_at_ms INTEGER NOT NULL,
    how TEXT NOT NULL,          -- 'torn' or 'overwritten'
    checksum INTEGER NOT NULL
);
CREATE INDEX known_bad_device ON known_bad (device);

CREATE TABLE collection_begun ( -- what the logger held then, so that one broken off is noticed
    id INTEGER PRIMARY KEY,
    at_ms INTEGER NOT NULL,
    device INTEGER NOT NULL,
    first_sequence INTEGER NOT NULL,
    next_sequence INTEGER NOT NULL,
    checksum INTEGER NOT NULL
);
CREATE INDEX collection_begun_device ON collection_begun (device);

CREATE TABLE entry (            -- the numbers by which the user calls deployments and imports
    number INTEGER PRIMARY KEY,
    kind TEXT NOT NULL,         -- 'deployment' or 'imported'
    whose INTEGER NOT NULL,     -- device, or id of the imported trace
    boot INTEGER NOT NULL,      -- of a deployment's first record
    first_sequence INTEGER NOT NULL,
    checksum INTEGER NOT NULL
);

-- row_checksum() of the other columns but the id: SQLite does not notice a byte that rots.
ALTER TABLE block ADD COLUMN checksum INTEGER;
UPDATE block SET checksum = row_checksum(device, boot, first_sequence, count, records);
ALTER TABLE logger ADD COLUMN checksum INTEGER;
UPDATE logger SET checksum =
    row_checksum(device, first_seen_ms, firmware_version, firmware_build, circuit);
ALTER TABLE calibration ADD COLUMN checksum INTEGER;
UPDATE calibration SET checksum = row_checksum(device, first_seen_ms, calibration);
ALTER TABLE collection ADD COLUMN checksum INTEGER;
UPDATE collection SET checksum =
    row_checksum(at_ms, device, first_sequence, next_sequence, added, bad, host_version);
ALTER TABLE note ADD COLUMN checksum INTEGER;
UPDATE note SET checksum = row_checksum(device, at_ms, text, author, written_at_ms);
ALTER TABLE imported_trace ADD COLUMN checksum INTEGER;
UPDATE imported_trace SET checksum = row_checksum(name, from_ms, readings, csv, imported_at_ms);
)sql",
    R"sql(
CREATE TABLE correction (       -- what somebody says was wrong; never changed: a withdrawal is a row, too
    id INTEGER PRIMARY KEY,
    entry_kind TEXT NOT NULL,   -- as in entry
    whose INTEGER NOT NULL,
    boot INTEGER NOT NULL,      -- of the first record
    first_sequence INTEGER NOT NULL,
    last_sequence INTEGER NOT NULL,
    from_start INTEGER NOT NULL, -- 1: from the beginning of the entry that holds the first record
    to_end INTEGER NOT NULL,    -- 1: to its end, what is collected later included
    kind TEXT NOT NULL,         -- 'withdrawal', or a kind of series/corrections.h
    value TEXT NOT NULL,        -- the number of what is withdrawn, or what goes with the kind
    from_ms INTEGER NOT NULL,   -- as the readings were shown then
    to_ms INTEGER NOT NULL,
    why TEXT NOT NULL,
    author TEXT NOT NULL,
    written_at_ms INTEGER NOT NULL,
    checksum INTEGER NOT NULL
);
)sql",
    R"sql(
CREATE TABLE cell_check (       -- what comparing a reference cell has found
    id INTEGER PRIMARY KEY,
    cell TEXT NOT NULL,         -- its serial number, or empty
    at_ms INTEGER NOT NULL,
    against TEXT NOT NULL,      -- 'cell' or 'zinc'
    difference_uv INTEGER NOT NULL,
    finding TEXT NOT NULL,      -- as electrode/cell_check.h calls it
    author TEXT NOT NULL,
    written_at_ms INTEGER NOT NULL,
    checksum INTEGER NOT NULL
);
)sql",
    R"sql(
CREATE TABLE survey (           -- a walk from point to point; words as survey/survey.h has them
    id INTEGER PRIMARY KEY,
    begun_ms INTEGER NOT NULL,
    boat TEXT NOT NULL,
    author TEXT NOT NULL,
    device INTEGER NOT NULL,    -- the logger that reads, or 0
    instrument TEXT NOT NULL,
    input_kohm INTEGER NOT NULL, -- its input resistance; 0: nobody said
    reference_instrument TEXT NOT NULL,
    cell_scale TEXT NOT NULL,
    cell_serial TEXT NOT NULL,
    cell_travel TEXT NOT NULL,  -- 'one-place' or 'moved'
    criterion TEXT NOT NULL,    -- by which a reading counts as settled
    checksum INTEGER NOT NULL
);

CREATE TABLE survey_point (
    id INTEGER PRIMARY KEY,
    survey INTEGER NOT NULL,
    name TEXT NOT NULL,
    role TEXT NOT NULL,
    metal TEXT NOT NULL,        -- its kind, or empty
    side TEXT NOT NULL,         -- empty: nobody said where it is
    forward_permille INTEGER NOT NULL,
    checksum INTEGER NOT NULL
);
CREATE INDEX survey_point_survey ON survey_point (survey);

CREATE TABLE survey_entry (     -- never changed: a strike is a row, too
    id INTEGER PRIMARY KEY,
    survey INTEGER NOT NULL,
    at_ms INTEGER NOT NULL,
    kind TEXT NOT NULL,
    point TEXT NOT NULL,
    shore TEXT NOT NULL,
    anodes TEXT NOT NULL,
    potential_uv INTEGER NOT NULL,
    spread_uv INTEGER NOT NULL,
    settled INTEGER NOT NULL,
    ac_uv INTEGER NOT NULL,     -- negative: not measured
    about INTEGER NOT NULL,     -- id of another entry, or 0
    text TEXT NOT NULL,
    live_readings BLOB NOT NULL, -- that the potential is the median of; empty where it was typed in
    checksum INTEGER NOT NULL
);
CREATE INDEX survey_entry_survey ON survey_entry (survey);
)sql",
    R"sql(
CREATE TABLE anode_entry (      -- never changed: a strike is a row, too
    id INTEGER PRIMARY KEY,
    at_ms INTEGER NOT NULL,
    kind TEXT NOT NULL,
    boat TEXT NOT NULL,         -- may be empty
    place TEXT NOT NULL,
    alloy TEXT NOT NULL,        -- of one fitted
    mass_mg INTEGER NOT NULL,   -- 0: none goes with it
    about INTEGER NOT NULL,     -- id of another entry, or 0
    text TEXT NOT NULL,
    author TEXT NOT NULL,
    written_at_ms INTEGER NOT NULL,
    checksum INTEGER NOT NULL
);
)sql"};

/// The columns that each table's checksum is taken of, and the schema that began to. What ends in
/// _ms is a time.
struct SummedTable {
    const char* name;
    std::string_view columns;
    std::int64_t since;
};
constexpr SummedTable summed_tables[] = {
    {"block", "device, boot, first_sequence, count, records", 2},
    {"logger", "device, first_seen_ms, firmware_version, firmware_build, circuit", 2},
    {"calibration", "device, first_seen_ms, calibration", 2},
    {"collection", "at_ms, device, first_sequence, next_sequence, added, bad, host_version", 2},
    {"note", "device, at_ms, text, author, written_at_ms", 2},
    {"imported_trace", "name, from_ms, readings, csv, imported_at_ms", 2},
    {"collection_begun", "at_ms, device, first_sequence, next_sequence", 2},
    {"entry", "kind, whose, boot, first_sequence", 2},
    {"known_bad", "device, boot, first_sequence, count, found_at_ms, how", 2},
    {"correction",
     "entry_kind, whose, boot, first_sequence, last_sequence, from_start, to_end, kind, value, "
     "from_ms, to_ms, why, author, written_at_ms",
     3},
    {"cell_check", "cell, at_ms, against, difference_uv, finding, author, written_at_ms", 4},
    {"survey",
     "begun_ms, boat, author, device, instrument, input_kohm, reference_instrument, cell_scale, "
     "cell_serial, cell_travel, criterion",
     5},
    {"survey_point", "survey, name, role, metal, side, forward_permille", 5},
    {"survey_entry",
     "survey, at_ms, kind, point, shore, anodes, potential_uv, spread_uv, settled, ac_uv, about, "
     "text, live_readings",
     5},
    {"anode_entry", "at_ms, kind, boat, place, alloy, mass_mg, about, text, author, written_at_ms",
     6},
};

constexpr std::int64_t current_schema = migrations.size();

/// Which rows nobody has written so: a byte has rotted, or somebody made up a time that is none.
std::string not_as_written(const SummedTable& table) {
    std::string condition = fmt::format("checksum IS NOT row_checksum({})", table.columns);
    constexpr std::string_view between = ", ";
    for (std::string_view left = table.columns; !left.empty();) {
        const std::string_view column = left.substr(0, left.find(between));
        left.remove_prefix(std::min(column.size() + between.size(), left.size()));
        if (column.ends_with("_ms"))
            condition += fmt::format(" OR {} NOT BETWEEN {} AND {}", column,
                                     to_ms(earliest_instant), to_ms(latest_instant));
    }
    return condition;
}

} // namespace

Result<Done> migrate(sqlite::Database& database) {
    auto transaction = sqlite::Transaction::begin(database);
    if (!transaction) return transaction.error();
    // Read under the lock: another program may have been faster.
    const auto schema = database.integer("PRAGMA user_version");
    if (!schema) return schema.error();
    if (*schema == current_schema) return transaction->commit();
    for (auto step = static_cast<std::size_t>(*schema); step < migrations.size(); ++step) {
        if (const auto done = database.run(migrations[step]); !done) return done.error();
    }
    const auto marked =
        database.run(fmt::format("PRAGMA application_id = {}; PRAGMA user_version = {};",
                                 archive_application_id, current_schema));
    if (!marked) return marked.error();
    return transaction->commit();
}

Result<Schema> schema_of(sqlite::Database& database, const std::string& path) {
    const auto schema = database.integer("PRAGMA user_version");
    if (!schema) return schema.error();
    if (*schema > current_schema)
        return Error{
            ErrorCode::wrong_version,
            fmt::format("the archive has schema {}, this program knows schemas up to {}", *schema,
                        current_schema),
            path,
            fmt::format("It was left as it is. Install a program that knows schema {}.", *schema)};
    return *schema < current_schema ? Schema::older : Schema::current;
}

Result<Done> check_content(sqlite::Database& database, const std::string& path,
                           RecordVisitor* visitor) {
    const auto schema = database.integer("PRAGMA user_version");
    if (!schema) return schema.error();
    for (const SummedTable& table : summed_tables) {
        if (*schema < table.since) continue;
        const auto rotten = std::string_view(table.name) == "block"
                                ? rotten_blocks(database, visitor)
                                : database.integer(fmt::format("SELECT count(*) FROM {} WHERE {}",
                                                               table.name, not_as_written(table)));
        if (!rotten) return rotten.error();
        if (*rotten != 0)
            return Error{ErrorCode::damaged,
                         fmt::format("the archive is damaged: {} rows of its table {} are not what "
                                     "was written",
                                     *rotten, table.name),
                         path, sqlite::damaged_remedy};
    }
    return Done{};
}

} // namespace quaycell
