// The part of the archive that tells which numbers have no record, and why.
#include "archive/archive.h"

#include <algorithm>

namespace quaycell {

namespace {

/// The numbers from `tail` to before `next` that none of the ranges covers, in order.
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

/// What `ranges` cover and `others` do not.
std::vector<SequenceRange> without(const std::vector<SequenceRange>& ranges,
                                   const std::vector<SequenceRange>& others) {
    std::vector<SequenceRange> left;
    for (const SequenceRange& range : ranges) {
        const auto part = not_covered(others, range.first, range.first + range.count);
        left.insert(left.end(), part.begin(), part.end());
    }
    return left;
}

/// How many numbers at the end of a gap the header behind it explains
/// (firmware/flashlog/FORMAT.md).
std::uint32_t told_by(const Skip& skip, const SequenceRange& gap) {
    const std::uint32_t whole = skip.sectors * wire::slots_per_sector;
    // A sector of which the rest was left still has its own header, or it is lost.
    const bool is_rest =
        skip.rest && gap.count > whole && gap.count < whole + wire::slots_per_sector;
    return is_rest ? gap.count : std::min(whole, gap.count);
}

} // namespace

/// What belongs to the numbering in force. In one numbering a newer boot only ever has higher
/// numbers, so a block at or above any number of a newer boot is of an earlier numbering.
Result<std::vector<SequenceRange>> Archive::ranges(std::uint32_t device, Count count) {
    auto rows = database_.prepare(
        "SELECT boot, first_sequence, count, 1 FROM block WHERE device = ?1 UNION ALL SELECT boot, "
        "first_sequence, count, 0 FROM known_bad WHERE device = ?1 AND (?2 OR (?3 AND how = "
        "'spent')) ORDER BY 1 DESC, 2");
    if (!rows) return rows.error();
    rows->bind(std::int64_t{device});
    rows->bind(std::int64_t{count == Count::held_or_known_bad});
    rows->bind(std::int64_t{count == Count::held_or_spent});
    std::vector<SequenceRange> ranges;
    std::optional<std::uint32_t> lowest_of_newer;
    std::optional<std::uint32_t> lowest;
    std::int64_t boot = -1;
    for (;;) {
        const auto row = rows->step();
        if (!row) return row.error();
        if (!*row) return ranges;
        if (rows->integer(0) != boot) {
            boot = rows->integer(0);
            lowest_of_newer = lowest;
        }
        const auto first = static_cast<std::uint32_t>(rows->integer(1));
        if (lowest_of_newer && !wire::sequence_before(first, *lowest_of_newer)) continue;
        // A bad number has the boot in which it was found out, which may be later than its own.
        const bool is_held = rows->integer(3) != 0;
        if (is_held && (!lowest || wire::sequence_before(first, *lowest))) lowest = first;
        ranges.push_back({first, static_cast<std::uint32_t>(rows->integer(2))});
    }
}

Result<std::vector<SequenceRange>> Archive::missing(std::uint32_t device, std::uint32_t tail,
                                                    std::uint32_t next) {
    auto covered = ranges(device, Count::held_or_known_bad);
    if (!covered) return covered;
    return not_covered(std::move(*covered), tail, next);
}

Result<std::vector<SequenceRange>> Archive::known_bad(std::uint32_t device, std::uint32_t tail,
                                                      std::uint32_t next) {
    const auto bad = difference(device, Count::held_or_known_bad, Count::held_or_spent, tail, next);
    if (!bad) return bad;
    const auto worn = passed_over(device, tail, next);
    if (!worn) return worn.error();
    return without(*bad, worn->numbers);
}

Result<std::vector<SequenceRange>> Archive::spent(std::uint32_t device, std::uint32_t tail,
                                                  std::uint32_t next) {
    auto all = difference(device, Count::held_or_spent, Count::held, tail, next);
    if (!all) return all;
    const auto worn = passed_over(device, tail, next);
    if (!worn) return worn.error();
    all->insert(all->end(), worn->numbers.begin(), worn->numbers.end());
    std::ranges::sort(*all, {}, [tail](const SequenceRange& range) { return range.first - tail; });
    return all;
}

Result<PassedOver> Archive::passed_over(std::uint32_t device, std::uint32_t tail,
                                        std::uint32_t next) {
    const auto held = ranges(device, Count::held);
    if (!held) return held.error();
    const auto known =
        difference(device, Count::held_or_known_bad, Count::held_or_spent, tail, next);
    if (!known) return known.error();
    PassedOver worn;
    for (const SequenceRange& gap : not_covered(*held, tail, next)) {
        const std::uint32_t end = gap.first + gap.count;
        if (end == next || !wire::is_sector_start(end)) continue;
        const auto bytes = record(device, end);
        if (!bytes) return bytes.error();
        if (!*bytes || (**bytes)[0] != static_cast<std::uint8_t>(wire::RecordKind::sector_header))
            continue;
        const Skip skip = skip_before(wire::from_bytes<wire::SectorHeader>((*bytes)->data()));
        worn.sectors += skip.sectors + (skip.rest ? 1 : 0);
        const std::uint32_t numbers = told_by(skip, gap);
        const auto told = without({{end - numbers, numbers}}, not_covered(*known, tail, next));
        worn.numbers.insert(worn.numbers.end(), told.begin(), told.end());
    }
    return worn;
}

/// The numbers that `more` covers and `fewer` does not.
Result<std::vector<SequenceRange>> Archive::difference(std::uint32_t device, Count more,
                                                       Count fewer, std::uint32_t tail,
                                                       std::uint32_t next) {
    auto all = ranges(device, more);
    if (!all) return all;
    auto part = ranges(device, fewer);
    if (!part) return part;
    const auto outside = not_covered(std::move(*all), tail, next);
    std::vector<SequenceRange> found;
    for (const SequenceRange& gap : not_covered(std::move(*part), tail, next)) {
        const auto inside = not_covered(outside, gap.first, gap.first + gap.count);
        found.insert(found.end(), inside.begin(), inside.end());
    }
    return found;
}

} // namespace quaycell
