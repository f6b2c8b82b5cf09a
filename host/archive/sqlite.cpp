#include "archive/sqlite.h"

#include "archive/row_checksum.h"

#include <fmt/format.h>
#include <sqlite3.h>

namespace quaycell::sqlite {

namespace {

/// How long to wait for another program that is writing.
constexpr int busy_timeout_ms = 5000;

Error error_of(int code, const char* message, const std::string& path) {
    switch (code & 0xFF) { // extended codes carry their kind in the low byte
    case SQLITE_BUSY:
    case SQLITE_LOCKED:
        return {ErrorCode::in_use, "another program is writing to the archive", path,
                "Wait until it is done and try again."};
    case SQLITE_FULL:
        return {ErrorCode::failed, "the disk is full", path,
                "Make room and repeat the command; what was stored is kept."};
    case SQLITE_READONLY:
    case SQLITE_PERM:
    case SQLITE_AUTH:
        return {ErrorCode::no_permission, "the archive cannot be written", path,
                "Check who owns the file and its folder, and whether the disk is write-protected."};
    case SQLITE_CANTOPEN:
        return {ErrorCode::no_permission, "the archive cannot be opened", path,
                "Check who owns the file and its folder."};
    case SQLITE_CORRUPT:
    case SQLITE_NOTADB:
    case SQLITE_ERROR: // a statement of this program is right, so the tables are not
        return {ErrorCode::damaged, fmt::format("the archive is damaged: {}", message), path,
                damaged_remedy};
    default:
        return {ErrorCode::failed, fmt::format("the archive cannot be used: {}", message), path,
                "Check the disk and try again."};
    }
}

Error error_of(sqlite3* connection, const std::string& path) {
    return error_of(sqlite3_extended_errcode(connection), sqlite3_errmsg(connection), path);
}

/// A path as part of a file: URI, in which these three characters mean something else.
std::string uri_of(const std::string& path) {
    std::string uri = "file:";
    for (const char c : path) {
        if (c == '%' || c == '?' || c == '#')
            uri += fmt::format("%{:02X}", static_cast<unsigned>(c));
        else
            uri += c;
    }
    return uri;
}

void row_checksum(sqlite3_context* context, int count, sqlite3_value** values) {
    RowChecksum checksum;
    for (int i = 0; i < count; ++i) {
        if (sqlite3_value_type(values[i]) == SQLITE_INTEGER) {
            checksum.add(sqlite3_value_int64(values[i]));
            continue;
        }
        const auto* bytes = static_cast<const std::uint8_t*>(sqlite3_value_blob(values[i]));
        checksum.add({bytes, static_cast<std::size_t>(sqlite3_value_bytes(values[i]))});
    }
    sqlite3_result_int64(context, checksum.value());
}

/// An empty text is a text, and no NULL.
const char* not_null(std::string_view text) {
    return text.data() == nullptr ? "" : text.data();
}

} // namespace

void Statement::Finalize::operator()(sqlite3_stmt* statement) const {
    sqlite3_finalize(statement);
}

Statement& Statement::bind(std::int64_t value) {
    bind_failure_ |= sqlite3_bind_int64(statement_.get(), ++bound_, value);
    return *this;
}

Statement& Statement::bind(std::string_view text) {
    bind_failure_ |= sqlite3_bind_text(statement_.get(), ++bound_, not_null(text),
                                       static_cast<int>(text.size()), SQLITE_TRANSIENT);
    return *this;
}

Statement& Statement::bind_in_place(std::string_view text) {
    bind_failure_ |= sqlite3_bind_text(statement_.get(), ++bound_, not_null(text),
                                       static_cast<int>(text.size()), SQLITE_STATIC);
    return *this;
}

Statement& Statement::bind(std::span<const std::uint8_t> bytes) {
    // No bytes have no address, which SQLite would take for NULL.
    const void* const data = bytes.empty() ? static_cast<const void*>("") : bytes.data();
    bind_failure_ |= sqlite3_bind_blob(statement_.get(), ++bound_, data,
                                       static_cast<int>(bytes.size()), SQLITE_TRANSIENT);
    return *this;
}

Result<bool> Statement::step() {
    if (bind_failure_ != SQLITE_OK)
        throw std::logic_error("sqlite::Statement: a parameter that the statement does not have");
    switch (sqlite3_step(statement_.get())) {
    case SQLITE_ROW:
        return true;
    case SQLITE_DONE:
        return false;
    default:
        return error_of(sqlite3_db_handle(statement_.get()), where_);
    }
}

Result<Done> Statement::run() {
    if (const auto row = step(); !row) return row.error();
    return Done{};
}

std::int64_t Statement::integer(int column) const {
    return sqlite3_column_int64(statement_.get(), column);
}

std::string Statement::text(int column) const {
    const Blob bytes = blob(column);
    return {bytes.begin(), bytes.end()};
}

std::span<const std::uint8_t> Statement::bytes(int column) const {
    const auto* first =
        static_cast<const std::uint8_t*>(sqlite3_column_blob(statement_.get(), column));
    return {first, static_cast<std::size_t>(sqlite3_column_bytes(statement_.get(), column))};
}

Blob Statement::blob(int column) const {
    const auto held = bytes(column);
    return {held.begin(), held.end()};
}

bool Statement::is_null(int column) const {
    return sqlite3_column_type(statement_.get(), column) == SQLITE_NULL;
}

void Database::Close::operator()(sqlite3* connection) const {
    sqlite3_close(connection);
}

Result<Database> Database::open(const std::string& path, Access access) {
    // To read, it is opened as if to write: only such a connection tidies its side files away.
    int flags = SQLITE_OPEN_URI;
    flags |= access == Access::read_unchanging ? SQLITE_OPEN_READONLY : SQLITE_OPEN_READWRITE;
    if (access == Access::write) flags |= SQLITE_OPEN_CREATE;
    const std::string uri =
        uri_of(path) + (access == Access::read_unchanging ? "?immutable=1" : "");
    Database database(path);
    sqlite3* connection = nullptr;
    const int code = sqlite3_open_v2(uri.c_str(), &connection, flags, nullptr);
    database.connection_.reset(connection);
    if (code != SQLITE_OK) return error_of(code, sqlite3_errstr(code), path);
    sqlite3_busy_timeout(connection, busy_timeout_ms);
    if (const auto known = database.add_functions(); !known) return known.error();
    if (access == Access::read) {
        if (const auto set = database.run("PRAGMA query_only = ON"); !set) return set.error();
    }
    return database;
}

Result<Database> Database::in_memory(const std::string& path) {
    Database database(path);
    sqlite3* connection = nullptr;
    const int code = sqlite3_open(":memory:", &connection);
    database.connection_.reset(connection);
    if (code != SQLITE_OK) return error_of(code, sqlite3_errstr(code), path);
    if (const auto known = database.add_functions(); !known) return known.error();
    return database;
}

Result<Done> Database::add_functions() {
    const int code = sqlite3_create_function(connection_.get(), "row_checksum", -1,
                                             SQLITE_UTF8 | SQLITE_DETERMINISTIC, nullptr,
                                             row_checksum, nullptr, nullptr);
    if (code != SQLITE_OK) return error_of(code, sqlite3_errstr(code), path_);
    return Done{};
}

Result<Done> Database::copy_from(const Database& other) {
    sqlite3_backup* backup =
        sqlite3_backup_init(connection_.get(), "main", other.connection_.get(), "main");
    if (backup == nullptr) return error_of(connection_.get(), path_);
    sqlite3_backup_step(backup, -1);
    const int code = sqlite3_backup_finish(backup);
    if (code != SQLITE_OK) return error_of(code, sqlite3_errstr(code), path_);
    return Done{};
}

Result<Done> Database::run(const std::string& sql) {
    if (sqlite3_exec(connection_.get(), sql.c_str(), nullptr, nullptr, nullptr) != SQLITE_OK)
        return error_of(connection_.get(), path_);
    return Done{};
}

Result<Statement> Database::prepare(std::string_view sql) {
    sqlite3_stmt* prepared = nullptr;
    if (sqlite3_prepare_v2(connection_.get(), sql.data(), static_cast<int>(sql.size()), &prepared,
                           nullptr) != SQLITE_OK)
        return error_of(connection_.get(), path_);
    Statement statement;
    statement.statement_.reset(prepared);
    statement.where_ = path_;
    return statement;
}

Result<std::int64_t> Database::integer(std::string_view sql) {
    auto statement = prepare(sql);
    if (!statement) return statement.error();
    const auto row = statement->step();
    if (!row) return row.error();
    return *row ? statement->integer(0) : 0;
}

Result<Transaction> Transaction::begin(Database& database) {
    // IMMEDIATE: whoever is to write takes the lock now, not in the middle of the work.
    if (const auto begun = database.run("BEGIN IMMEDIATE"); !begun) return begun.error();
    return Transaction(database);
}

Transaction::~Transaction() {
    // Without a word: what was to be said has been said by the error that led here.
    if (database_ != nullptr) static_cast<void>(database_->run("ROLLBACK"));
}

Result<Done> Transaction::commit() {
    const auto committed = database_->run("COMMIT");
    if (committed) database_ = nullptr;
    return committed;
}

} // namespace quaycell::sqlite
