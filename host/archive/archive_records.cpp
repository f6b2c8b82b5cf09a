// The part of the archive that keeps and finds records.
#include "archive/archive.h"

#include "archive/held_sector.h"
#include "archive/whole_records.h"
#include "base/stated_time.h"

#include <algorithm>
#include <fmt/format.h>

namespace quaycell {

namespace {

Error held_otherwise(std::uint32_t device, const SequencedRecord& record, const std::string& path) {
    return {ErrorCode::refused,
            fmt::format("logger {:08x} has another record under number {} of restart {} than the "
                        "one that is held: it is another logger with the same number, or its "
                        "counts have started over",
                        device, record.sequence,
                        wire::from_bytes<wire::RecordHead>(record.bytes.data()).boot),
            path,
            "Nothing was changed. Collect it into an archive of its own; of two loggers give one "
            "another number (build target device_number, firmware/board/FUSES.md)."};
}

constexpr std::string_view how_name(BadHow how) {
    switch (how) {
    case BadHow::torn:
        return "torn";
    case BadHow::overwritten:
        return "overwritten";
    case BadHow::spent:
        return "spent";
    }
    return "";
}

} // namespace

Result<AddCounts> Archive::add(std::uint32_t device, std::span<const SequencedRecord> records) {
    auto transaction = sqlite::Transaction::begin(database_);
    if (!transaction) return transaction.error();
    AddCounts counts;
    std::optional<HeldSector> sector;
    for (const SequencedRecord& record : records) {
        if (!is_good(record)) {
            if (!is_void(record)) ++counts.bad;
            continue;
        }
        const auto boot = wire::from_bytes<wire::RecordHead>(record.bytes.data()).boot;
        if (!sector || !sector->covers(boot, record.sequence)) {
            if (sector) {
                if (const auto done = sector->store(database_); !done) return done.error();
            }
            sector.emplace(device, boot, record.sequence >> wire::slot_bits);
            if (const auto done = sector->load(database_); !done) return done.error();
        }
        if (const auto& held = sector->at(record.sequence); !held) {
            sector->put(record);
            ++counts.added;
        } else if (*held == record.bytes) {
            ++counts.already_held;
        } else {
            return held_otherwise(device, record, path_);
        }
    }
    if (sector) {
        if (const auto done = sector->store(database_); !done) return done.error();
    }
    if (const auto done = transaction->commit(); !done) return done.error();
    return counts;
}

Result<std::vector<RecordBytes>> Archive::records(std::uint32_t device) {
    std::vector<RecordBytes> records;
    const auto read = for_each_records(device, [&](std::span<const std::uint8_t> some) {
        for (; !some.empty(); some = some.subspan(wire::record_size))
            std::copy_n(some.begin(), wire::record_size, records.emplace_back().begin());
    });
    if (!read) return read.error();
    return records;
}

Result<Done> Archive::for_each_records(std::uint32_t device, const VisitRecords& visit) {
    auto blocks = database_.prepare(
        "SELECT records FROM block WHERE device = ? ORDER BY boot, first_sequence");
    if (!blocks) return blocks.error();
    blocks->bind(std::int64_t{device});
    for (;;) {
        const auto row = blocks->step();
        if (!row) return row.error();
        if (!*row) return Done{};
        visit_whole_records(blocks->bytes(0), visit);
    }
}

Result<std::optional<RecordBytes>> Archive::record(std::uint32_t device, std::uint32_t sequence) {
    auto blocks = database_.prepare(
        "SELECT first_sequence, records FROM block WHERE device = ?1 AND first_sequence <= ?2 AND "
        "first_sequence + count > ?2 ORDER BY boot DESC LIMIT 1");
    if (!blocks) return blocks.error();
    blocks->bind(std::int64_t{device}).bind(std::int64_t{sequence});
    const auto row = blocks->step();
    if (!row) return row.error();
    if (!*row) return std::optional<RecordBytes>{};
    const sqlite::Blob block = blocks->blob(1);
    const auto at = (std::int64_t{sequence} - blocks->integer(0)) * wire::record_size;
    RecordBytes bytes;
    std::copy_n(block.begin() + at, wire::record_size, bytes.begin());
    return std::optional{bytes};
}

Result<std::optional<std::uint32_t>> Archive::highest_sequence(std::uint32_t device) {
    auto rows = database_.prepare("SELECT first_sequence + count - 1 FROM block WHERE device = ? "
                                  "ORDER BY boot DESC, first_sequence DESC LIMIT 1");
    if (!rows) return rows.error();
    rows->bind(std::int64_t{device});
    const auto row = rows->step();
    if (!row) return row.error();
    if (!*row) return std::optional<std::uint32_t>{};
    return std::optional{static_cast<std::uint32_t>(rows->integer(0))};
}

Result<std::vector<BootExtent>> Archive::boots(std::uint32_t device) {
    auto rows = database_.prepare("SELECT boot, first_sequence, first_sequence + count - 1 FROM "
                                  "block WHERE device = ? ORDER BY boot, first_sequence");
    if (!rows) return rows.error();
    rows->bind(std::int64_t{device});
    std::vector<BootExtent> boots;
    for (;;) {
        const auto row = rows->step();
        if (!row) return row.error();
        if (!*row) return boots;
        const BootExtent block{static_cast<std::uint16_t>(rows->integer(0)),
                               static_cast<std::uint32_t>(rows->integer(1)),
                               static_cast<std::uint32_t>(rows->integer(2))};
        if (boots.empty() || boots.back().boot != block.boot) {
            boots.push_back(block);
            continue;
        }
        BootExtent& whole = boots.back();
        // The numbers wrap, their order in the file does not.
        if (wire::sequence_before(block.first, whole.first)) whole.first = block.first;
        if (wire::sequence_before(whole.last, block.last)) whole.last = block.last;
    }
}

Result<std::optional<std::uint32_t>> Archive::firmware_build(std::uint32_t device,
                                                             std::uint16_t boot) {
    // It is the first that a restart writes, behind the header of a sector that it begins.
    auto blocks = database_.prepare("SELECT records FROM block WHERE device = ?1 AND boot = ?2 "
                                    "ORDER BY first_sequence LIMIT 1");
    if (!blocks) return blocks.error();
    blocks->bind(std::int64_t{device}).bind(std::int64_t{boot});
    const auto row = blocks->step();
    if (!row) return row.error();
    std::optional<std::uint32_t> build;
    if (!*row) return build;
    visit_whole_records(blocks->bytes(0), [&](std::span<const std::uint8_t> records) {
        for (; !build && !records.empty(); records = records.subspan(wire::record_size))
            if (records[0] == static_cast<std::uint8_t>(wire::RecordKind::boot))
                build = wire::from_bytes<wire::Boot>(records.data()).firmware_build;
    });
    return build;
}

Result<std::optional<Instant>> Archive::last_stated_time(std::uint32_t device) {
    auto blocks =
        database_.prepare("SELECT records FROM block WHERE device = ? ORDER BY boot DESC, "
                          "first_sequence DESC");
    if (!blocks) return blocks.error();
    blocks->bind(std::int64_t{device});
    for (;;) {
        const auto row = blocks->step();
        if (!row) return row.error();
        if (!*row) return std::optional<Instant>{};
        const sqlite::Blob block = blocks->blob(0);
        for (std::size_t end = block.size(); end >= wire::record_size; end -= wire::record_size) {
            RecordBytes record;
            std::copy_n(block.begin() + static_cast<std::ptrdiff_t>(end - wire::record_size),
                        wire::record_size, record.begin());
            if (const std::uint32_t unix_s = stated_unix_s(record.data()); unix_s != 0)
                return std::optional{from_unix_s(unix_s)};
        }
    }
}

Result<Done> Archive::put_known_bad(std::uint32_t device, std::uint16_t boot, SequenceRange numbers,
                                    BadHow how, Instant found_at) {
    auto transaction = sqlite::Transaction::begin(database_);
    if (!transaction) return transaction.error();
    const auto unknown = missing(device, numbers.first, numbers.first + numbers.count);
    if (!unknown) return unknown.error();
    for (const SequenceRange& range : *unknown) {
        auto insert = database_.prepare(
            "INSERT INTO known_bad (device, boot, first_sequence, count, found_at_ms, how, "
            "checksum) VALUES (?1, ?2, ?3, ?4, ?5, ?6, row_checksum(?1, ?2, ?3, ?4, ?5, ?6))");
        if (!insert) return insert.error();
        insert->bind(std::int64_t{device}).bind(std::int64_t{boot});
        insert->bind(std::int64_t{range.first}).bind(std::int64_t{range.count});
        insert->bind(std::int64_t{found_at.time_since_epoch().count()});
        insert->bind(how_name(how));
        if (const auto done = insert->run(); !done) return done;
    }
    return transaction->commit();
}

} // namespace quaycell
