#include "judging/entry_corrections.h"

#include <algorithm>
#include <fmt/format.h>

namespace quaycell {

namespace {

bool holds(const ArchiveEntry& entry, const EntryKey& record) {
    if (entry.key.imported != record.imported || entry.key.whose != record.whose) return false;
    return record.boot >= entry.key.boot && record.boot <= entry.last.boot &&
           !wire::sequence_before(record.first_sequence, entry.key.first_sequence) &&
           !wire::sequence_before(entry.last.first_sequence, record.first_sequence);
}

bool covers(const CorrectedPart& part, std::uint32_t sequence) {
    return (part.from_start || !wire::sequence_before(sequence, part.first.first_sequence)) &&
           (part.to_end || !wire::sequence_before(part.last_sequence, sequence));
}

/// The first row of which something is true that is true of all behind it, too.
template <typename IsTrue>
std::size_t first_row(std::size_t rows, const IsTrue& is_true) {
    std::size_t low = 0, high = rows;
    while (low < high) {
        const std::size_t middle = low + (high - low) / 2;
        if (is_true(middle))
            high = middle;
        else
            low = middle + 1;
    }
    return low;
}

/// When a reading was taken, by what moves times now.
Instant moved_time(const Readings& recorded, std::size_t row,
                   const std::vector<KnownCorrection>& standing) {
    Instant time = recorded.time[row];
    for (const KnownCorrection& each : standing) {
        const auto* moved = std::get_if<MovedTimes>(&*each.change);
        if (moved != nullptr && covers(each.row.part, recorded.sequence[row])) time += moved->by;
    }
    return time;
}

} // namespace

void tell_by_present_clock(std::vector<KnownCorrection>& corrections, std::uint32_t deployment,
                           const Readings& recorded) {
    const std::vector<KnownCorrection> standing = standing_of(corrections, deployment);
    for (KnownCorrection& each : corrections) {
        if (each.deployment != deployment) continue;
        const CorrectedPart& part = each.row.part;
        const auto& sequence = recorded.sequence;
        const std::size_t first = first_row(sequence.size(), [&](std::size_t row) {
            return part.from_start ||
                   !wire::sequence_before(sequence[row], part.first.first_sequence);
        });
        const std::size_t end = first_row(sequence.size(), [&](std::size_t row) {
            return !part.to_end && wire::sequence_before(part.last_sequence, sequence[row]);
        });
        if (first >= end) continue;
        const StretchTimes now{moved_time(recorded, first, standing),
                               moved_time(recorded, end - 1, standing)};
        const bool is_other = (!part.from_start && now.from != each.row.from) ||
                              (!part.to_end && now.to != each.row.to);
        if (is_other) each.now = now;
    }
}

Result<std::vector<KnownCorrection>> known_corrections(Archive& archive,
                                                       const std::vector<ArchiveEntry>& entries) {
    auto rows = archive.corrections();
    if (!rows) return rows.error();
    std::vector<KnownCorrection> known;
    for (CorrectionRow& row : *rows) {
        KnownCorrection correction{std::move(row), {}, {}, {}};
        if (correction.row.kind == withdrawal) {
            const auto taken_back = std::ranges::find_if(known, [&](const KnownCorrection& each) {
                return fmt::format("{}", each.row.number) == correction.row.value;
            });
            if (taken_back != known.end()) taken_back->withdrawn_by = correction.row.number;
        } else {
            const auto change = parse_change(correction.row.kind, correction.row.value);
            if (!change)
                return Error{ErrorCode::damaged,
                             fmt::format("correction {} means nothing to this program: {}",
                                         correction.row.number, change.error().what),
                             "", "Install the newest program."};
            correction.change = *change;
        }
        const auto entry = std::ranges::find_if(entries, [&](const ArchiveEntry& each) {
            return holds(each, correction.row.part.first);
        });
        if (entry != entries.end()) correction.deployment = entry->number;
        known.push_back(std::move(correction));
    }
    return known;
}

std::vector<KnownCorrection> standing_of(const std::vector<KnownCorrection>& known,
                                         std::uint32_t deployment) {
    std::vector<KnownCorrection> standing;
    std::ranges::copy_if(known, std::back_inserter(standing), [&](const KnownCorrection& each) {
        return each.stands() && each.deployment == deployment;
    });
    return standing;
}

std::vector<Correction> to_apply(const std::vector<KnownCorrection>& standing) {
    std::vector<Correction> corrections;
    for (const KnownCorrection& each : standing) {
        const CorrectedPart& part = each.row.part;
        Stretch stretch;
        if (!part.from_start) stretch.first = part.first.first_sequence;
        if (!part.to_end) stretch.last = part.last_sequence;
        corrections.push_back({each.change.value(), stretch, each.row.why, each.row.author});
    }
    return corrections;
}

} // namespace quaycell
