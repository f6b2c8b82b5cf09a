// The part of the archive that keeps and finds records.
#include "archive/archive.h"

#include "archive/held_sector.h"

#include <algorithm>
#include <fmt/format.h>

namespace quaycell {

namespace {

Error numbered_anew(std::uint32_t device, std::uint32_t sequence, const std::string& path) {
    return {ErrorCode::refused,
            fmt::format(
                "logger {:08x} now has another record under number {} than the one that is held: "
                "its numbering has started over",
                device, sequence),
            path, "Nothing was changed. Collect this logger into a new archive."};
}

} // namespace

Result<AddCounts> Archive::add(std::uint32_t device, std::span<const SequencedRecord> records) {
    auto transaction = sqlite::Transaction::begin(database_);
    if (!transaction) return transaction.error();
    AddCounts counts;
    std::optional<HeldSector> sector;
    for (const SequencedRecord& record : records) {
        if (!is_good(record)) {
            ++counts.bad;
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
            return numbered_anew(device, record.sequence, path_);
        }
    }
    if (sector) {
        if (const auto done = sector->store(database_); !done) return done.error();
    }
    if (const auto done = transaction->commit(); !done) return done.error();
    return counts;
}

Result<std::vector<RecordBytes>> Archive::records(std::uint32_t device) {
    auto blocks = database_.prepare(
        "SELECT records FROM block WHERE device = ? ORDER BY boot, first_sequence");
    if (!blocks) return blocks.error();
    blocks->bind(std::int64_t{device});
    std::vector<RecordBytes> records;
    for (;;) {
        const auto row = blocks->step();
        if (!row) return row.error();
        if (!*row) return records;
        const sqlite::Blob block = blocks->blob(0);
        for (std::size_t at = 0; at + wire::record_size <= block.size(); at += wire::record_size)
            std::copy_n(block.begin() + static_cast<std::ptrdiff_t>(at), wire::record_size,
                        records.emplace_back().begin());
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

/// The blocks that belong to the numbering in force. In one numbering a newer boot only ever has
/// higher numbers, so a block at or above any number of a newer boot is of an earlier numbering.
Result<std::vector<SequenceRange>> Archive::held_ranges(std::uint32_t device) {
    auto blocks =
        database_.prepare("SELECT boot, first_sequence, count FROM block WHERE device = ? "
                          "ORDER BY boot DESC, first_sequence");
    if (!blocks) return blocks.error();
    blocks->bind(std::int64_t{device});
    std::vector<SequenceRange> held;
    std::optional<std::uint32_t> lowest_of_newer;
    std::optional<std::uint32_t> lowest;
    std::int64_t boot = -1;
    for (;;) {
        const auto row = blocks->step();
        if (!row) return row.error();
        if (!*row) return held;
        if (blocks->integer(0) != boot) {
            boot = blocks->integer(0);
            lowest_of_newer = lowest;
        }
        const auto first = static_cast<std::uint32_t>(blocks->integer(1));
        if (lowest_of_newer && !wire::sequence_before(first, *lowest_of_newer)) continue;
        if (!lowest || wire::sequence_before(first, *lowest)) lowest = first;
        held.push_back({first, static_cast<std::uint32_t>(blocks->integer(2))});
    }
}

Result<std::vector<SequenceRange>> Archive::missing(std::uint32_t device, std::uint32_t tail,
                                                    std::uint32_t next) {
    auto held = held_ranges(device);
    if (!held) return held.error();
    // Counted from the tail the numbers do not wrap.
    const std::uint32_t end = next - tail;
    const auto from_tail = [tail](const SequenceRange& range) { return range.first - tail; };
    std::ranges::sort(*held, {}, from_tail);
    std::vector<SequenceRange> missing;
    std::uint32_t at = 0;
    // A block that begins before the tail may still reach behind it.
    for (const SequenceRange& range : *held) {
        const std::uint64_t reaches = std::uint64_t{from_tail(range)} + range.count;
        if (reaches > UINT32_MAX) at = std::max(at, static_cast<std::uint32_t>(reaches));
    }
    for (const SequenceRange& range : *held) {
        const std::uint32_t first = from_tail(range);
        if (first >= end) break;
        if (first > at) missing.push_back({tail + at, first - at});
        at = std::max(at, first + range.count);
    }
    if (at < end) missing.push_back({tail + at, end - at});
    return missing;
}

} // namespace quaycell
