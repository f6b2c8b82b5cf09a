#include "archive/known_numbers.h"

#include <algorithm>
#include <optional>

namespace quaycell {

namespace {

bool counts(const KnownNumbers::Entry& entry, KnownNumbers::Count count) {
    return entry.is_held || count == KnownNumbers::Count::held_or_known_bad ||
           (count == KnownNumbers::Count::held_or_spent && entry.is_spent);
}

} // namespace

std::vector<SequenceRange> not_covered(std::vector<SequenceRange> ranges, std::uint32_t tail,
                                       std::uint32_t next) {
    // Counted from the tail the numbers do not wrap.
    const std::uint32_t end = next - tail;
    const auto from_tail = [tail](const SequenceRange& range) { return range.first - tail; };
    std::ranges::sort(ranges, {}, from_tail);
    std::vector<SequenceRange> left;
    std::uint32_t at = 0;
    // A range that begins before the tail may still reach behind it.
    for (const SequenceRange& range : ranges) {
        const std::uint64_t reaches = std::uint64_t{from_tail(range)} + range.count;
        if (reaches > UINT32_MAX) at = std::max(at, static_cast<std::uint32_t>(reaches));
    }
    for (const SequenceRange& range : ranges) {
        const std::uint32_t first = from_tail(range);
        if (first >= end) break;
        if (first > at) left.push_back({tail + at, first - at});
        at = std::max(at, first + range.count);
    }
    if (at < end) left.push_back({tail + at, end - at});
    return left;
}

KnownNumbers::KnownNumbers(std::vector<Entry> entries) : entries_(std::move(entries)) {
    // A bad number counts after what is held under it.
    std::ranges::stable_sort(entries_, [](const Entry& a, const Entry& b) {
        return a.boot != b.boot ? a.boot > b.boot : a.numbers.first < b.numbers.first;
    });
}

/// In one numbering a newer boot only ever has higher numbers, so a block at or above any number of
/// a newer boot is of an earlier numbering.
std::vector<SequenceRange> KnownNumbers::ranges(Count count) const {
    std::vector<SequenceRange> ranges;
    std::optional<std::uint32_t> lowest_of_newer;
    std::optional<std::uint32_t> lowest;
    std::optional<std::uint16_t> boot;
    for (const Entry& entry : entries_) {
        if (!counts(entry, count)) continue;
        if (entry.boot != boot) {
            boot = entry.boot;
            lowest_of_newer = lowest;
        }
        const std::uint32_t first = entry.numbers.first;
        if (lowest_of_newer && !wire::sequence_before(first, *lowest_of_newer)) continue;
        // A bad number has the boot in which it was found out, which may be later than its own.
        if (entry.is_held && (!lowest || wire::sequence_before(first, *lowest))) lowest = first;
        ranges.push_back(entry.numbers);
    }
    return ranges;
}

std::vector<SequenceRange> KnownNumbers::difference(Count more, Count fewer, std::uint32_t tail,
                                                    std::uint32_t next) const {
    const auto outside = not_covered(ranges(more), tail, next);
    std::vector<SequenceRange> found;
    for (const SequenceRange& gap : not_covered(ranges(fewer), tail, next)) {
        const auto inside = not_covered(outside, gap.first, gap.first + gap.count);
        found.insert(found.end(), inside.begin(), inside.end());
    }
    return found;
}

Result<KnownNumbers> known_numbers(sqlite::Database& database, std::uint32_t device) {
    std::vector<KnownNumbers::Entry> entries;
    for (const char* sql :
         {"SELECT boot, first_sequence, count, 1, 0 FROM block WHERE device = ? ORDER BY boot, "
          "first_sequence",
          "SELECT boot, first_sequence, count, 0, how = 'spent' FROM known_bad WHERE device = ?"}) {
        auto rows = database.prepare(sql);
        if (!rows) return rows.error();
        rows->bind(std::int64_t{device});
        for (;;) {
            const auto row = rows->step();
            if (!row) return row.error();
            if (!*row) break;
            entries.push_back({static_cast<std::uint16_t>(rows->integer(0)),
                               rows->integer(3) != 0,
                               rows->integer(4) != 0,
                               {static_cast<std::uint32_t>(rows->integer(1)),
                                static_cast<std::uint32_t>(rows->integer(2))}});
        }
    }
    return KnownNumbers(std::move(entries));
}

} // namespace quaycell
