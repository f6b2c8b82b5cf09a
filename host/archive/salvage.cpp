#include "archive/salvage.h"

#include "archive/row_checksum.h"
#include "archive/schema.h"
#include "archive/stored_rows.h"
#include "base/known_time.h"

#include <algorithm>
#include <fmt/format.h>
#include <map>
#include <set>

namespace quaycell {

namespace {

/// The tables of the archive as their rows look in the file: the types of the columns, 'm' for an
/// integer that is a time, without the checksum that schema 2 put at the end.
struct Table {
    std::string_view name;
    std::string_view signature;
    std::string_view rows_are; ///< in words
};
constexpr Table tables[] = {
    {"block", "iiiib", "blocks of records"},
    {"logger", "-imiib", "descriptions of a logger"},
    {"calibration", "-imb", "calibrations"},
    {"collection", "-miiiiit", "collections"},
    {"note", "-imttm", "notes"},
    {"imported_trace", "-tmitm", "imported traces"},
    {"collection_begun", "-miii", "beginnings of collections"},
    {"entry", "-tiii", "numbers of deployments"},
    {"known_bad", "-iiiimt", "entries of numbers known bad"},
    {"correction", "-tiiiiiittmmttm", "corrections"},
    {"cell_check", "-tmtittm", "comparisons of a cell"},
    {"survey", "-mttitittttt", "surveys"},
    {"survey_point", "-itttti", "points of a survey"},
    {"survey_entry", "-imttttiiiiitb", "entries of a survey"},
    {"anode_entry", "-mttttiittm", "entries on anodes"},
};
constexpr std::int64_t first_schema_with_checksums = 2;

/// Whether these can be the columns of such a table.
bool fit(std::span<const StoredValue> columns, std::string_view signature) {
    return std::ranges::equal(columns, signature, [](const StoredValue& value, char type) {
        if (type == 'm') return value.type == 'i' && from_unix_ms(value.integer);
        return value.type == type;
    });
}

std::int64_t checksum_of(std::span<const StoredValue> values) {
    RowChecksum checksum;
    for (const StoredValue& value : values) {
        if (value.type == 'i') checksum.add(value.integer);
        if (value.type == 't' || value.type == 'b') checksum.add(value.bytes);
    }
    return checksum.value();
}

class Salvager {
  public:
    explicit Salvager(sqlite::Database database) : salvage_{std::move(database), {}, {}} {}

    Result<Salvage> run(const StoredRows& stored) {
        checked_ = stored.user_version >= first_schema_with_checksums;
        auto transaction = sqlite::Transaction::begin(salvage_.database);
        if (!transaction) return transaction.error();
        for (const StoredRow& row : stored.rows) {
            for (const Table& table : tables)
                if (const auto taken = take(table, row); !taken) return taken.error();
        }
        if (const auto done = transaction->commit(); !done) return done.error();
        for (const StoredRow* block : unsound_blocks_)
            loosen(*block);
        tell_losses();
        return std::move(salvage_);
    }

  private:
    Result<Done> take(const Table& table, const StoredRow& row) {
        const std::string signature = std::string(table.signature) + (checked_ ? "i" : "");
        if (!fit(row.values, signature)) return Done{};
        const std::span columns(row.values.data(), table.signature.size());
        const bool is_block = table.name == "block";
        if (checked_ && row.values.back().integer != checksum_of(columns)) {
            if (is_block) unsound_blocks_.push_back(&row);
            return Done{};
        }
        if (is_block && !checked_) { // then only the records speak for themselves
            unsound_blocks_.push_back(&row);
            devices_.insert(row.values[0].integer);
            return Done{};
        }
        if (is_block || table.name == "logger")
            devices_.insert(row.values[table.name == "logger" ? 1 : 0].integer);
        if (row.rowid > 0) ids_[&table].insert(row.rowid);
        return insert(table, row, columns);
    }

    Result<Done> insert(const Table& table, const StoredRow& row,
                        std::span<const StoredValue> columns) {
        std::string places;
        for (std::size_t i = 0; i < columns.size(); ++i)
            places += "?,";
        auto statement = salvage_.database.prepare(
            fmt::format("INSERT OR IGNORE INTO {} VALUES ({}?)", table.name, places));
        if (!statement) return statement.error();
        for (const StoredValue& value : columns) {
            if (value.type == '-') statement->bind(row.rowid);
            if (value.type == 'i') statement->bind(value.integer);
            if (value.type == 't')
                statement->bind(std::string_view(reinterpret_cast<const char*>(value.bytes.data()),
                                                 value.bytes.size()));
            if (value.type == 'b') statement->bind(std::span(value.bytes));
        }
        statement->bind(checksum_of(columns));
        return statement->run();
    }

    /// The records of a block that is not sound as a whole. The row's own columns prove nothing:
    /// boot and number stand in each record, the logger in a sector's header, else it must be one
    /// that is known.
    void loosen(const StoredRow& block) {
        const sqlite::Blob& records = block.values[4].bytes;
        std::optional<std::uint32_t> device;
        if (devices_.contains(block.values[0].integer))
            device = static_cast<std::uint32_t>(block.values[0].integer);
        std::vector<SequencedRecord> good;
        for (std::size_t at = 0; at + wire::record_size <= records.size();
             at += wire::record_size) {
            const std::uint8_t* bytes = records.data() + at;
            if (!wire::is_valid_record(bytes)) continue;
            if (bytes[0] == static_cast<std::uint8_t>(wire::RecordKind::sector_header))
                device = wire::from_bytes<wire::SectorHeader>(bytes).device_id;
            SequencedRecord record{wire::from_bytes<wire::RecordHead>(bytes).sequence, {}};
            std::copy_n(bytes, wire::record_size, record.bytes.begin());
            good.push_back(record);
        }
        if (device && !good.empty()) salvage_.loose.push_back({*device, std::move(good)});
    }

    /// Rows of these tables are numbered without a gap.
    void tell_losses() {
        for (const auto& [table, ids] : ids_) {
            const auto lost = *ids.rbegin() - static_cast<std::int64_t>(ids.size());
            if (lost > 0)
                salvage_.losses.push_back(
                    fmt::format("{} {} can no longer be read", lost, table->rows_are));
        }
    }

    Salvage salvage_;
    bool checked_ = false;
    std::vector<const StoredRow*> unsound_blocks_;
    std::set<std::int64_t> devices_;
    std::map<const Table*, std::set<std::int64_t>> ids_;
};

} // namespace

Result<Salvage> salvage(const std::filesystem::path& path) {
    const auto stored = stored_rows(path);
    if (!stored) return stored.error();
    auto database = sqlite::Database::in_memory(path.string());
    if (!database) return database.error();
    if (const auto made = migrate(*database); !made) return made.error();
    return Salvager(std::move(*database)).run(*stored);
}

} // namespace quaycell
