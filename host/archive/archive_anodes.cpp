// The part of the archive that keeps the log of the anodes.
#include "archive/archive.h"

#include "archive/stored_time.h"

#include <cmath>

namespace quaycell {

namespace {

constexpr double mg_per_kg = 1e6;

} // namespace

Result<std::int64_t> Archive::put_anode_entry(const AnodeEntryRow& entry) {
    auto insert = database_.prepare(
        "INSERT INTO anode_entry (at_ms, kind, boat, place, alloy, mass_mg, about, text, author, "
        "written_at_ms, checksum) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, "
        "row_checksum(?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10))");
    if (!insert) return insert.error();
    insert->bind(to_ms(entry.at)).bind(entry.kind).bind(entry.boat).bind(entry.place);
    insert->bind(entry.alloy).bind(std::int64_t{std::llround(entry.mass_kg * mg_per_kg)});
    insert->bind(entry.about).bind(entry.text).bind(entry.author).bind(to_ms(entry.written_at));
    if (const auto done = insert->run(); !done) return done.error();
    return database_.integer("SELECT last_insert_rowid()");
}

Result<std::vector<AnodeEntryRow>> Archive::anode_entries() {
    auto rows = database_.prepare("SELECT id, at_ms, kind, boat, place, alloy, mass_mg, about, "
                                  "text, author, written_at_ms FROM anode_entry ORDER BY id");
    if (!rows) return rows.error();
    std::vector<AnodeEntryRow> entries;
    for (;;) {
        const auto row = rows->step();
        if (!row) return row.error();
        if (!*row) return entries;
        entries.push_back({rows->integer(0), from_ms(rows->integer(1)), rows->text(2),
                           rows->text(3), rows->text(4), rows->text(5),
                           static_cast<double>(rows->integer(6)) / mg_per_kg, rows->integer(7),
                           rows->text(8), rows->text(9), from_ms(rows->integer(10))});
    }
}

} // namespace quaycell
