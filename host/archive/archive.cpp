#include "archive/archive.h"

#include "archive/file_check.h"
#include "archive/schema.h"
#include "archive/stored_calibration.h"
#include "archive/stored_circuit.h"
#include "archive/stored_time.h"

#include <fmt/format.h>

namespace quaycell {

namespace {

namespace fs = std::filesystem;

template <typename Struct>
sqlite::Blob blob_of(const Struct& value) {
    sqlite::Blob bytes(sizeof value);
    wire::to_bytes(value, bytes.data());
    return bytes;
}

Result<Done> check_pages(sqlite::Database& database, const std::string& path) {
    auto check = database.prepare("PRAGMA integrity_check(1)");
    if (!check) return check.error();
    const auto row = check->step();
    if (!row) return row.error();
    if (const std::string found = check->text(0); found != "ok")
        return Error{ErrorCode::damaged, fmt::format("the archive is damaged: {}", found), path,
                     sqlite::damaged_remedy};
    return Done{};
}

/// The file as it stands, of whatever schema up to this program's.
struct Opened {
    sqlite::Database database;
    Schema schema;
};

Result<Opened> open_checked(const std::string& path, sqlite::Access access,
                            RecordVisitor* visitor) {
    auto database = sqlite::Database::open(path, access);
    if (!database) return database.error();
    // What is checked is what is read: another process may write meanwhile, which this one does not
    // see until it opens the file again. Closing the file ends it.
    if (access != sqlite::Access::write)
        if (const auto begun = database->run("BEGIN"); !begun) return begun.error();
    const auto schema = schema_of(*database, path);
    if (!schema) return schema.error();
    if (const auto sound = check_pages(*database, path); !sound) return sound.error();
    if (const auto sound = check_content(*database, path, visitor); !sound) return sound.error();
    return Opened{std::move(*database), *schema};
}

Result<Opened> open_to_read(const std::string& path, RecordVisitor* visitor) {
    auto opened = open_checked(path, sqlite::Access::read, visitor);
    if (opened || opened.error().code != ErrorCode::no_permission) return opened;
    // On a medium that cannot be written SQLite finds no room for its side files. Without a journal
    // to take into account it needs none.
    std::error_code failure;
    if (fs::exists(path + "-wal", failure)) return opened;
    if (visitor != nullptr) visitor->begin_again();
    return open_checked(path, sqlite::Access::read_unchanging, visitor);
}

/// An older file is brought up to date in memory, since it is only to be read.
Result<sqlite::Database> up_to_date(Opened opened, const std::string& path) {
    if (opened.schema == Schema::current) return std::move(opened.database);
    auto copy = sqlite::Database::in_memory(path);
    if (!copy) return copy;
    if (const auto done = copy->copy_from(opened.database); !done) return done.error();
    if (const auto done = migrate(*copy); !done) return done.error();
    if (const auto set = copy->run("PRAGMA query_only = ON"); !set) return set.error();
    return copy;
}

Result<sqlite::Database> open_to_write(const std::string& path) {
    auto opened = open_checked(path, sqlite::Access::write, nullptr);
    if (!opened) return opened.error();
    sqlite::Database database = std::move(opened->database);
    // A new file gets pages that hold whole blocks: a year of records is read in an eighth of the
    // steps, without chains of pages to follow.
    if (const auto set = database.run("PRAGMA page_size = 32768"); !set) return set.error();
    if (const auto done = migrate(database); !done) return done.error();
    // FULL: what add() has returned from must outlast a battery that runs flat.
    const auto set = database.run("PRAGMA journal_mode = WAL; PRAGMA synchronous = FULL;");
    if (!set) return set.error();
    return database;
}

/// All integers are stored in 64 bits; the columns hold what was put in from these types.
template <typename Integer>
Integer column(const sqlite::Statement& row, int index) {
    return static_cast<Integer>(row.integer(index));
}

Error incomplete(std::uint32_t device, const std::string& path) {
    return {ErrorCode::damaged,
            fmt::format("what the archive knows of logger {:08x} is incomplete", device), path,
            "Collect from it again into a new archive."};
}

} // namespace

Result<Archive> Archive::open(const fs::path& path, OpenMode mode, RecordVisitor* visitor) {
    const auto kind = check_archive_file(path);
    if (!kind) return kind.error();
    if (mode == OpenMode::read && *kind == FileKind::missing)
        return Error{ErrorCode::not_found, "there is no such archive", path.string(),
                     "Collect from a logger first, or name another file."};
    if (mode == OpenMode::read && *kind == FileKind::empty)
        return Error{ErrorCode::wrong_input, "the archive is empty", path.string(),
                     "Collect from a logger first, or name another file."};
    if (mode == OpenMode::write_create) {
        auto database = open_to_write(path.string());
        if (!database) return database.error();
        return Archive(std::move(*database), path.string());
    }
    auto opened = open_to_read(path.string(), visitor);
    const bool is_damaged = !opened && opened.error().code == ErrorCode::damaged;
    if (!opened && !is_damaged) return opened.error();
    const bool has_shown = opened && opened->schema == Schema::current;
    auto archive = [&]() -> Result<Archive> {
        if (is_damaged) return open_damaged(path);
        auto database = up_to_date(std::move(*opened), path.string());
        if (!database) return database.error();
        return Archive(std::move(*database), path.string());
    }();
    if (!archive || visitor == nullptr || has_shown) return archive;
    if (const auto shown = archive->show_all(*visitor); !shown) return shown.error();
    return archive;
}

Result<Done> Archive::show_all(RecordVisitor& visitor) {
    visitor.begin_again();
    const auto known = devices();
    if (!known) return known.error();
    for (const DeviceSummary& each : *known) {
        const auto read = for_each_records(each.device, [&](std::span<const std::uint8_t> records) {
            visitor.see(each.device, records);
        });
        if (!read) return read.error();
    }
    return Done{};
}

Result<Done> Archive::put_logger(const wire::HelloReply& hello, const wire::Circuit& circuit,
                                 Instant seen) {
    auto insert = database_.prepare(
        "INSERT INTO logger (device, first_seen_ms, firmware_version, firmware_build, circuit, "
        "checksum) SELECT ?1, ?2, ?3, ?4, ?5, row_checksum(?1, ?2, ?3, ?4, ?5) WHERE (?3, ?4, ?5) "
        "IS NOT (SELECT firmware_version, "
        "firmware_build, circuit FROM logger WHERE device = ?1 ORDER BY id DESC LIMIT 1)");
    if (!insert) return insert.error();
    insert->bind(std::int64_t{hello.device_id}).bind(to_ms(seen));
    insert->bind(std::int64_t{hello.firmware_version}).bind(std::int64_t{hello.firmware_build});
    insert->bind(blob_of(circuit));
    return insert->run();
}

Result<Done> Archive::put_calibration(std::uint32_t device, const wire::Calibration& calibration,
                                      Instant seen) {
    auto insert = database_.prepare(
        "INSERT INTO calibration (device, first_seen_ms, calibration, checksum) "
        "SELECT ?1, ?2, ?3, row_checksum(?1, ?2, ?3) WHERE ?3 IS NOT (SELECT calibration FROM "
        "calibration WHERE device = ?1 ORDER BY id DESC LIMIT 1)");
    if (!insert) return insert.error();
    insert->bind(std::int64_t{device}).bind(to_ms(seen)).bind(blob_of(calibration));
    return insert->run();
}

Result<Done> Archive::put_collection(const Collection& collection) {
    auto insert =
        database_.prepare("INSERT INTO collection (at_ms, device, first_sequence, next_sequence, "
                          "added, bad, host_version, checksum) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, "
                          "row_checksum(?1, ?2, ?3, ?4, ?5, ?6, ?7))");
    if (!insert) return insert.error();
    insert->bind(to_ms(collection.at)).bind(std::int64_t{collection.device});
    insert->bind(std::int64_t{collection.first_sequence});
    insert->bind(std::int64_t{collection.next_sequence});
    insert->bind(static_cast<std::int64_t>(collection.added));
    insert->bind(static_cast<std::int64_t>(collection.bad));
    insert->bind(collection.host_version);
    return insert->run();
}

Result<std::vector<DeviceSummary>> Archive::devices() {
    auto rows = database_.prepare(
        "SELECT device, (SELECT sum(count) FROM block WHERE block.device = known.device), "
        "(SELECT max(at_ms) FROM collection WHERE collection.device = known.device) "
        "FROM (SELECT device FROM block UNION SELECT device FROM logger) AS known ORDER BY device");
    if (!rows) return rows.error();
    std::vector<DeviceSummary> devices;
    for (;;) {
        const auto row = rows->step();
        if (!row) return row.error();
        if (!*row) return devices;
        DeviceSummary device{column<std::uint32_t>(*rows, 0), column<std::uint64_t>(*rows, 1), {}};
        if (!rows->is_null(2)) device.last_collected = from_ms(rows->integer(2));
        devices.push_back(device);
    }
}

Result<std::optional<wire::Calibration>> Archive::calibration(std::uint32_t device, Instant at) {
    auto rows =
        database_.prepare("SELECT calibration FROM calibration WHERE device = ? ORDER BY id");
    if (!rows) return rows.error();
    rows->bind(std::int64_t{device});
    std::optional<wire::Calibration> found;
    for (;;) {
        const auto row = rows->step();
        if (!row) return row.error();
        if (!*row) return found;
        const auto calibration = stored_calibration(rows->blob(0));
        if (!calibration) return incomplete(device, path_);
        if (!found || from_unix_s(calibration->unix_s) <= at) found = calibration;
    }
}

Result<LoggerRow> Archive::logger(std::uint32_t device, Instant at,
                                  std::optional<std::uint32_t> build) {
    auto rows = database_.prepare("SELECT first_seen_ms, firmware_version, firmware_build, circuit "
                                  "FROM logger WHERE device = ? ORDER BY id");
    if (!rows) return rows.error();
    rows->bind(std::int64_t{device});
    std::optional<LoggerRow> found;
    bool is_of_build = false;
    for (;;) {
        const auto row = rows->step();
        if (!row) return row.error();
        if (!*row) break;
        const auto circuit = stored_circuit(rows->blob(3));
        if (!circuit) return incomplete(device, path_);
        const LoggerRow each{device,
                             from_ms(rows->integer(0)),
                             column<std::uint16_t>(*rows, 1),
                             column<std::uint32_t>(*rows, 2),
                             *circuit,
                             {}};
        const bool matches = each.firmware_build == build;
        if (!found || matches || (!is_of_build && each.first_seen <= at)) found = each;
        is_of_build = is_of_build || matches;
    }
    if (!found)
        return Error{ErrorCode::not_found,
                     fmt::format("the archive knows no logger {:08x}", device), path_,
                     "Collect from it first, or name another."};
    const auto compared = calibration(device, at);
    if (!compared) return compared.error();
    found->calibration = *compared;
    return *found;
}

Result<bool> Archive::put_imported(const std::string& name, Instant from, std::uint64_t readings,
                                   const std::string& csv, Instant imported_at) {
    // So much at once goes into the file itself: the log would be written only to be copied. The
    // lock is had first, since without the log who comes to read would keep this from its end.
    // Where another program has the archive open it goes into the log all the same.
    constexpr std::size_t worth_it = std::size_t{1} << 22U;
    const bool is_long = csv.size() >= worth_it;
    const bool past_log =
        is_long && database_.run("PRAGMA locking_mode = EXCLUSIVE; PRAGMA journal_mode = DELETE");
    if (is_long && !past_log) static_cast<void>(database_.run("PRAGMA locking_mode = NORMAL"));
    const auto put = put_csv(name, from, readings, csv, imported_at);
    // The log comes back when nobody reads, now or when the archive is next opened to write.
    if (past_log) {
        static_cast<void>(database_.run("PRAGMA locking_mode = NORMAL"));
        static_cast<void>(database_.run("PRAGMA journal_mode = WAL"));
    }
    return put;
}

Result<bool> Archive::put_csv(const std::string& name, Instant from, std::uint64_t readings,
                              const std::string& csv, Instant imported_at) {
    auto transaction = sqlite::Transaction::begin(database_);
    if (!transaction) return transaction.error();
    {
        auto same = database_.prepare("SELECT 1 FROM imported_trace WHERE csv = ?");
        if (!same) return same.error();
        same->bind_in_place(csv);
        const auto held = same->step();
        if (!held) return held.error();
        if (*held) return false;
    }
    // A statement of its own: one that also looked for the same would keep a copy aside.
    auto insert = database_.prepare(
        "INSERT INTO imported_trace (name, from_ms, readings, csv, imported_at_ms, checksum) "
        "VALUES (?1, ?2, ?3, ?4, ?5, row_checksum(?1, ?2, ?3, ?4, ?5))");
    if (!insert) return insert.error();
    insert->bind(name).bind(to_ms(from)).bind(static_cast<std::int64_t>(readings));
    insert->bind_in_place(csv).bind(to_ms(imported_at));
    if (const auto done = insert->run(); !done) return done.error();
    if (const auto done = transaction->commit(); !done) return done.error();
    return true;
}

Result<std::vector<ImportedTrace>> Archive::imported() {
    auto rows =
        database_.prepare("SELECT id, name, from_ms, readings FROM imported_trace ORDER BY id");
    if (!rows) return rows.error();
    std::vector<ImportedTrace> traces;
    for (;;) {
        const auto row = rows->step();
        if (!row) return row.error();
        if (!*row) return traces;
        traces.push_back({rows->integer(0), rows->text(1), from_ms(rows->integer(2)),
                          column<std::uint64_t>(*rows, 3)});
    }
}

Result<std::string> Archive::imported_csv(std::int64_t id) {
    auto rows = database_.prepare("SELECT csv FROM imported_trace WHERE id = ?");
    if (!rows) return rows.error();
    rows->bind(id);
    const auto row = rows->step();
    if (!row) return row.error();
    if (!*row)
        return Error{ErrorCode::not_found, fmt::format("the archive has no imported trace {}", id),
                     path_, ""};
    return rows->text(0);
}

} // namespace quaycell
