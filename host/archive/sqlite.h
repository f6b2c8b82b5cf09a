// The little of SQLite that the archive needs, with its errors in words. Only archive/ includes
// this.
#pragma once

#include "base/result.h"

#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

struct sqlite3;
struct sqlite3_stmt;

namespace quaycell::sqlite {

using Blob = std::vector<std::uint8_t>;

/// What to do about a damaged archive.
inline constexpr const char* damaged_remedy =
    "Keep a copy of the file as it is and collect into a new one; reading commands still show what "
    "is sound.";

/// A prepared statement. Parameters are bound from 1 in the order of the bind() calls.
class Statement {
  public:
    Statement& bind(std::int64_t value);
    Statement& bind(std::string_view text);
    Statement& bind(std::span<const std::uint8_t> bytes);
    /// The same without a copy: the text outlives the statement.
    Statement& bind_in_place(std::string_view text);

    /// Moves to the next row: whether there is one.
    Result<bool> step();

    /// Runs a statement that yields no rows.
    Result<Done> run();

    /// Columns of the current row count from 0.
    std::int64_t integer(int column) const;
    std::string text(int column) const;
    Blob blob(int column) const;
    /// The bytes of a blob where they are, until the next step.
    std::span<const std::uint8_t> bytes(int column) const;
    bool is_null(int column) const;

  private:
    friend class Database;
    struct Finalize {
        void operator()(sqlite3_stmt* statement) const;
    };

    std::unique_ptr<sqlite3_stmt, Finalize> statement_;
    std::string where_;
    int bound_ = 0;
    int bind_failure_ = 0;
};

enum class Access { read, read_unchanging, write };

class Database {
  public:
    /// `read_unchanging` reads a file on a medium that cannot be written: without locks, and
    /// without the side files that SQLite would otherwise put next to it.
    static Result<Database> open(const std::string& path, Access access);

    /// An empty one that lasts as long as this object; errors name `path`.
    static Result<Database> in_memory(const std::string& path);

    /// Makes this one hold what the other holds.
    Result<Done> copy_from(const Database& other);

    /// Runs statements without parameters and rows. Besides SQLite's own functions there is
    /// row_checksum(...), see RowChecksum.
    Result<Done> run(const std::string& sql);

    /// A statement of the program is right: one that SQLite cannot prepare means a damaged file.
    Result<Statement> prepare(std::string_view sql);

    /// The first column of the first row.
    Result<std::int64_t> integer(std::string_view sql);

  private:
    struct Close {
        void operator()(sqlite3* connection) const;
    };
    explicit Database(std::string path) : path_(std::move(path)) {}
    Result<Done> add_functions();

    std::string path_;
    std::unique_ptr<sqlite3, Close> connection_;
};

/// Rolls back unless committed.
class Transaction {
  public:
    static Result<Transaction> begin(Database& database);
    ~Transaction();
    Transaction(Transaction&& other) noexcept
        : database_(std::exchange(other.database_, nullptr)) {}
    Transaction& operator=(Transaction&&) = delete;

    Result<Done> commit();

  private:
    explicit Transaction(Database& database) : database_(&database) {}
    Database* database_;
};

} // namespace quaycell::sqlite
