// The part of the archive that tells which numbers have no record, and why.
#include "archive/archive.h"

#include "archive/known_numbers.h"

#include <algorithm>

namespace quaycell {

namespace {

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

using Count = KnownNumbers::Count;

} // namespace

Result<std::vector<SequenceRange>> Archive::missing(std::uint32_t device, std::uint32_t tail,
                                                    std::uint32_t next) {
    const auto known = known_numbers(database_, device);
    if (!known) return known.error();
    return not_covered(known->ranges(Count::held_or_known_bad), tail, next);
}

Result<std::vector<SequenceRange>> Archive::known_bad(std::uint32_t device, std::uint32_t tail,
                                                      std::uint32_t next) {
    const auto known = known_numbers(database_, device);
    if (!known) return known.error();
    const auto worn = passed_over(*known, device, tail, next);
    if (!worn) return worn.error();
    return without(known->difference(Count::held_or_known_bad, Count::held_or_spent, tail, next),
                   worn->numbers);
}

Result<std::vector<SequenceRange>> Archive::spent(std::uint32_t device, std::uint32_t tail,
                                                  std::uint32_t next) {
    const auto known = known_numbers(database_, device);
    if (!known) return known.error();
    const auto worn = passed_over(*known, device, tail, next);
    if (!worn) return worn.error();
    auto all = known->difference(Count::held_or_spent, Count::held, tail, next);
    all.insert(all.end(), worn->numbers.begin(), worn->numbers.end());
    std::ranges::sort(all, {}, [tail](const SequenceRange& range) { return range.first - tail; });
    return all;
}

Result<PassedOver> Archive::passed_over(std::uint32_t device, std::uint32_t tail,
                                        std::uint32_t next) {
    const auto known = known_numbers(database_, device);
    if (!known) return known.error();
    return passed_over(*known, device, tail, next);
}

Result<PassedOver> Archive::passed_over(const KnownNumbers& known, std::uint32_t device,
                                        std::uint32_t tail, std::uint32_t next) {
    const auto bad = known.difference(Count::held_or_known_bad, Count::held_or_spent, tail, next);
    PassedOver worn;
    for (const SequenceRange& gap : not_covered(known.ranges(Count::held), tail, next)) {
        const std::uint32_t end = gap.first + gap.count;
        if (end == next || !wire::is_sector_start(end)) continue;
        const auto bytes = record(device, end);
        if (!bytes) return bytes.error();
        if (!*bytes || (**bytes)[0] != static_cast<std::uint8_t>(wire::RecordKind::sector_header))
            continue;
        const Skip skip = skip_before(wire::from_bytes<wire::SectorHeader>((*bytes)->data()));
        worn.sectors += skip.sectors + (skip.rest ? 1 : 0);
        const std::uint32_t numbers = told_by(skip, gap);
        const auto told = without({{end - numbers, numbers}}, not_covered(bad, tail, next));
        worn.numbers.insert(worn.numbers.end(), told.begin(), told.end());
    }
    return worn;
}

} // namespace quaycell
