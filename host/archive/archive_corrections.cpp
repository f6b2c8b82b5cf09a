// The part of the archive that keeps what people say was wrong with its content.
#include "archive/archive.h"

#include "archive/stored_time.h"

namespace quaycell {

Result<Done> Archive::put_correction(const CorrectionRow& correction, std::int64_t known) {
    auto transaction = sqlite::Transaction::begin(database_);
    if (!transaction) return transaction.error();
    const auto held = database_.integer("SELECT coalesce(max(id), 0) FROM correction");
    if (!held) return held.error();
    if (*held != known)
        return Error{ErrorCode::in_use, "somebody else has corrected this archive meanwhile", path_,
                     "Look at what was corrected, then try again."};
    auto insert = database_.prepare(
        "INSERT INTO correction (entry_kind, whose, boot, first_sequence, last_sequence, "
        "from_start, to_end, kind, value, from_ms, to_ms, why, author, written_at_ms, checksum) "
        "VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, ?14, "
        "row_checksum(?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, ?14))");
    if (!insert) return insert.error();
    const CorrectedPart& part = correction.part;
    insert->bind(part.first.imported ? "imported" : "deployment").bind(part.first.whose);
    insert->bind(std::int64_t{part.first.boot}).bind(std::int64_t{part.first.first_sequence});
    insert->bind(std::int64_t{part.last_sequence});
    insert->bind(std::int64_t{part.from_start}).bind(std::int64_t{part.to_end});
    insert->bind(correction.kind).bind(correction.value);
    insert->bind(to_ms(correction.from)).bind(to_ms(correction.to));
    insert->bind(correction.why).bind(correction.author).bind(to_ms(correction.written_at));
    if (const auto done = insert->run(); !done) return done;
    return transaction->commit();
}

Result<std::vector<CorrectionRow>> Archive::corrections() {
    auto rows = database_.prepare(
        "SELECT id, entry_kind, whose, boot, first_sequence, last_sequence, from_start, to_end, "
        "kind, value, from_ms, to_ms, why, author, written_at_ms FROM correction ORDER BY id");
    if (!rows) return rows.error();
    std::vector<CorrectionRow> corrections;
    for (;;) {
        const auto row = rows->step();
        if (!row) return row.error();
        if (!*row) return corrections;
        const EntryKey first{rows->text(1) == "imported", rows->integer(2),
                             static_cast<std::uint16_t>(rows->integer(3)),
                             static_cast<std::uint32_t>(rows->integer(4))};
        const CorrectedPart part{first, static_cast<std::uint32_t>(rows->integer(5)),
                                 rows->integer(6) != 0, rows->integer(7) != 0};
        corrections.push_back({rows->integer(0), part, rows->text(8), rows->text(9),
                               from_ms(rows->integer(10)), from_ms(rows->integer(11)),
                               rows->text(12), rows->text(13), from_ms(rows->integer(14))});
    }
}

} // namespace quaycell
