// The part of the archive that keeps what people say of it: notes, and the numbers that they call
// its content by.
#include "archive/archive.h"

#include "archive/stored_time.h"

#include <algorithm>
#include <cmath>

namespace quaycell {

namespace {

constexpr double uv_per_mv = 1000;

} // namespace

Result<Done> Archive::put_note(const Note& note) {
    auto insert = database_.prepare("INSERT INTO note (device, at_ms, text, author, written_at_ms, "
                                    "checksum) VALUES (?1, ?2, ?3, ?4, ?5, "
                                    "row_checksum(?1, ?2, ?3, ?4, ?5))");
    if (!insert) return insert.error();
    insert->bind(std::int64_t{note.device}).bind(to_ms(note.at)).bind(note.text);
    insert->bind(note.author).bind(to_ms(note.written_at));
    return insert->run();
}

Result<std::vector<Note>> Archive::notes_of(sqlite::Statement rows) {
    std::vector<Note> notes;
    for (;;) {
        const auto row = rows.step();
        if (!row) return row.error();
        if (!*row) return notes;
        notes.push_back({static_cast<std::uint32_t>(rows.integer(0)), from_ms(rows.integer(1)),
                         rows.text(2), rows.text(3), from_ms(rows.integer(4))});
    }
}

Result<std::vector<Note>> Archive::notes(std::uint32_t device) {
    auto rows = database_.prepare("SELECT device, at_ms, text, author, written_at_ms FROM note "
                                  "WHERE device = ? ORDER BY at_ms, id");
    if (!rows) return rows.error();
    rows->bind(std::int64_t{device});
    return notes_of(std::move(*rows));
}

Result<std::vector<Note>> Archive::notes() {
    auto rows = database_.prepare(
        "SELECT device, at_ms, text, author, written_at_ms FROM note ORDER BY at_ms, id");
    if (!rows) return rows.error();
    return notes_of(std::move(*rows));
}

Result<Done> Archive::put_cell_check(const CellCheckRow& check) {
    auto insert = database_.prepare(
        "INSERT INTO cell_check (cell, at_ms, against, difference_uv, finding, author, "
        "written_at_ms, checksum) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, "
        "row_checksum(?1, ?2, ?3, ?4, ?5, ?6, ?7))");
    if (!insert) return insert.error();
    insert->bind(check.cell).bind(to_ms(check.at)).bind(check.against);
    insert->bind(std::int64_t{std::llround(check.difference_mv * uv_per_mv)}).bind(check.finding);
    insert->bind(check.author).bind(to_ms(check.written_at));
    return insert->run();
}

Result<std::vector<CellCheckRow>> Archive::cell_checks() {
    auto rows = database_.prepare("SELECT cell, at_ms, against, difference_uv, finding, author, "
                                  "written_at_ms FROM cell_check ORDER BY at_ms, id");
    if (!rows) return rows.error();
    std::vector<CellCheckRow> checks;
    for (;;) {
        const auto row = rows->step();
        if (!row) return row.error();
        if (!*row) return checks;
        checks.push_back({rows->text(0), from_ms(rows->integer(1)), rows->text(2),
                          static_cast<double>(rows->integer(3)) / uv_per_mv, rows->text(4),
                          rows->text(5), from_ms(rows->integer(6))});
    }
}

Result<std::vector<NumberedEntry>> Archive::numbered_entries() {
    auto rows = database_.prepare(
        "SELECT number, kind, whose, boot, first_sequence FROM entry ORDER BY number");
    if (!rows) return rows.error();
    std::vector<NumberedEntry> entries;
    for (;;) {
        const auto row = rows->step();
        if (!row) return row.error();
        if (!*row) return entries;
        entries.push_back({static_cast<std::uint32_t>(rows->integer(0)),
                           {rows->text(1) == "imported", rows->integer(2),
                            static_cast<std::uint16_t>(rows->integer(3)),
                            static_cast<std::uint32_t>(rows->integer(4))}});
    }
}

Result<Done> Archive::number_entries(std::span<const EntryKey> keys) {
    auto transaction = sqlite::Transaction::begin(database_);
    if (!transaction) return transaction.error();
    const auto numbered = numbered_entries();
    if (!numbered) return numbered.error();
    for (const EntryKey& key : keys) {
        if (std::ranges::find(*numbered, key, &NumberedEntry::key) != numbered->end()) continue;
        auto insert = database_.prepare(
            "INSERT INTO entry (kind, whose, boot, first_sequence, checksum) VALUES (?1, ?2, ?3, "
            "?4, row_checksum(?1, ?2, ?3, ?4))");
        if (!insert) return insert.error();
        insert->bind(key.imported ? "imported" : "deployment").bind(key.whose);
        insert->bind(std::int64_t{key.boot}).bind(std::int64_t{key.first_sequence});
        if (const auto done = insert->run(); !done) return done;
    }
    return transaction->commit();
}

Result<Done> Archive::put_collection_begun(std::uint32_t device, std::uint32_t tail,
                                           std::uint32_t next, Instant at) {
    auto insert = database_.prepare(
        "INSERT INTO collection_begun (at_ms, device, first_sequence, next_sequence, checksum) "
        "VALUES (?1, ?2, ?3, ?4, row_checksum(?1, ?2, ?3, ?4))");
    if (!insert) return insert.error();
    insert->bind(to_ms(at)).bind(std::int64_t{device});
    insert->bind(std::int64_t{tail}).bind(std::int64_t{next});
    return insert->run();
}

Result<std::uint64_t> Archive::left_behind(std::uint32_t device) {
    auto rows = database_.prepare("SELECT first_sequence, next_sequence FROM collection_begun "
                                  "WHERE device = ? ORDER BY id DESC LIMIT 1");
    if (!rows) return rows.error();
    rows->bind(std::int64_t{device});
    const auto row = rows->step();
    if (!row) return row.error();
    if (!*row) return std::uint64_t{0};
    const auto missing_records = missing(device, static_cast<std::uint32_t>(rows->integer(0)),
                                         static_cast<std::uint32_t>(rows->integer(1)));
    if (!missing_records) return missing_records.error();
    std::uint64_t count = 0;
    for (const SequenceRange& range : *missing_records)
        count += range.count;
    return count;
}

} // namespace quaycell
