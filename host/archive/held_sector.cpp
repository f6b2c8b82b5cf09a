#include "archive/held_sector.h"

#include <algorithm>

namespace quaycell {

Result<Done> HeldSector::load(sqlite::Database& database) {
    auto blocks = database.prepare("SELECT first_sequence, records FROM block WHERE device = ? AND "
                                   "boot = ? AND first_sequence BETWEEN ? AND ?");
    if (!blocks) return blocks.error();
    const std::int64_t first = static_cast<std::int64_t>(sector_) << wire::slot_bits;
    blocks->bind(std::int64_t{device_}).bind(std::int64_t{boot_});
    blocks->bind(first).bind(first + wire::slots_per_sector - 1);
    for (;;) {
        const auto row = blocks->step();
        if (!row) return row.error();
        if (!*row) return Done{};
        const sqlite::Blob records = blocks->blob(1);
        auto slot = static_cast<std::size_t>(blocks->integer(0) - first);
        for (std::size_t at = 0; at < records.size() && slot < held_.size();
             at += wire::record_size, ++slot)
            std::copy_n(records.begin() + static_cast<std::ptrdiff_t>(at), wire::record_size,
                        held_[slot].emplace().begin());
    }
}

void HeldSector::put(const SequencedRecord& record) {
    const std::size_t slot = record.sequence % wire::slots_per_sector;
    held_[slot] = record.bytes;
    is_new_[slot] = true;
}

Result<Done> HeldSector::store(sqlite::Database& database) {
    for (std::size_t from = 0; from < is_new_.size(); ++from) {
        if (!is_new_[from]) continue;
        sqlite::Blob records;
        std::size_t to = from;
        for (; to < is_new_.size() && is_new_[to]; ++to)
            records.insert(records.end(), held_[to]->begin(), held_[to]->end());
        auto insert = database.prepare("INSERT INTO block (device, boot, first_sequence, count, "
                                       "records, checksum) VALUES (?1, ?2, ?3, ?4, ?5, "
                                       "row_checksum(?1, ?2, ?3, ?4, ?5))");
        if (!insert) return insert.error();
        const auto first = (static_cast<std::int64_t>(sector_) << wire::slot_bits) +
                           static_cast<std::int64_t>(from);
        insert->bind(std::int64_t{device_}).bind(std::int64_t{boot_}).bind(first);
        insert->bind(static_cast<std::int64_t>(to - from)).bind(records);
        if (const auto done = insert->run(); !done) return done.error();
        from = to;
    }
    is_new_.fill(false);
    return Done{};
}

} // namespace quaycell
