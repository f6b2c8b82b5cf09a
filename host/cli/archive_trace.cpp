#include "cli/archive_trace.h"

#include "cli/correction_text.h"
#include "series/trace_csv.h"

#include <filesystem>
#include <fmt/format.h>
#include <numeric>

namespace quaycell {

Result<Trace> recorded_trace(Archive& archive, const ArchiveEntry& entry) {
    if (!entry.device) {
        const auto text = archive.imported_csv(entry.key.whose);
        if (!text) return text.error();
        auto trace = read_trace_csv(*text, entry.origin);
        if (!trace) return trace;
        trace->sequence.resize(trace->time.size());
        std::iota(trace->sequence.begin(), trace->sequence.end(), 0);
        return trace;
    }
    // A board that was compared anew after this deployment was another one while it lasted.
    const auto facts = archive.logger(*entry.device, entry.from.value_or(Instant::max()));
    if (!facts) return facts.error();
    const auto records = archive.records(*entry.device);
    if (!records) return records.error();
    const auto own = std::span(*records).subspan(entry.deployment.first, entry.deployment.count);
    const auto spent =
        archive.spent(*entry.device, entry.key.first_sequence,
                      wire::from_bytes<wire::RecordHead>(own.back().data()).sequence);
    if (!spent) return spent.error();
    return decode(own, {*entry.device, facts->circuit, facts->calibration}, *spent);
}

Result<SourcedTrace> trace_of(Archive& archive, const std::string& archive_file,
                              std::uint32_t number, ReadAs as) {
    const auto entries = entries_of(archive);
    if (!entries) return entries.error();
    const auto entry = chosen_entry(*entries, number, archive_file);
    if (!entry) return entry.error();
    auto trace = recorded_trace(archive, *entry);
    if (!trace) return trace.error();
    trace->name = fmt::format("{}, {}, deployment {}",
                              std::filesystem::path(archive_file).filename().string(),
                              entry->origin, entry->number);
    const auto known = known_corrections(archive, *entries);
    if (!known) return known.error();
    auto standing = standing_of(*known, entry->number);
    SourcedTrace sourced;
    auto checks = archive.cell_checks();
    if (!checks) return checks.error();
    sourced.cell_checks = std::move(*checks);
    for (const std::string& loss : archive.losses())
        sourced.remarks.push_back("the archive is damaged; lost: " + loss);
    if (entry->device) {
        auto left = left_behind_words(archive, *entry->device);
        if (!left) return left.error();
        if (!left->empty()) sourced.remarks.push_back(std::move(*left));
    }
    if (as == ReadAs::recorded) {
        if (!standing.empty())
            sourced.remarks.push_back(fmt::format("as it was recorded: {} correction{} left aside",
                                                  standing.size(),
                                                  standing.size() == 1 ? "" : "s"));
        sourced.trace = std::move(*trace);
        return sourced;
    }
    auto applied = corrected(std::move(*trace), to_apply(standing));
    if (!applied) return applied.error();
    sourced.trace = std::move(*applied);
    for (const KnownCorrection& each : standing)
        sourced.remarks.push_back(correction_text(each));
    sourced.corrections = std::move(standing);
    return sourced;
}

} // namespace quaycell
