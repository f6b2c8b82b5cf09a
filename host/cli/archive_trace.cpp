#include "cli/archive_trace.h"

#include "cli/correction_text.h"
#include "series/join.h"
#include "series/recording.h"
#include "series/trace_csv.h"

#include <algorithm>
#include <filesystem>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <numeric>
#include <set>

namespace quaycell {

Result<Readings> recorded_trace(Archive& archive, const ArchiveEntry& entry) {
    if (!entry.device) {
        const auto text = archive.imported_csv(entry.key.whose);
        if (!text) return text.error();
        auto trace = read_trace_csv(*text, entry.origin);
        if (!trace) return trace.error();
        trace->sequence.resize(trace->time.size());
        std::iota(trace->sequence.begin(), trace->sequence.end(), 0);
        return Readings(std::move(*trace));
    }
    // A board that was compared anew after this deployment was another one while it lasted.
    const auto facts = archive.logger(*entry.device, entry.from.value_or(Instant::max()));
    if (!facts) return facts.error();
    const auto spent =
        archive.spent(*entry.device, entry.key.first_sequence, entry.last.first_sequence);
    if (!spent) return spent.error();
    const LoggerFacts known{*entry.device, facts->circuit, facts->calibration};
    if (entry.deployment.recording) return entry.deployment.recording->readings(known, *spent);
    Recording recording;
    std::size_t place = 0;
    const auto read = archive.for_each_record(*entry.device, [&](const std::uint8_t* record) {
        if (place - entry.deployment.first < entry.deployment.count) recording.add(record);
        ++place;
    });
    if (!read) return read.error();
    recording.finish();
    return recording.readings(known, *spent);
}

namespace {

/// Of one entry, without what is true of the whole archive.
Result<SourcedTrace> part_of(Archive& archive, const ArchiveEntry& entry,
                             const std::vector<KnownCorrection>& known, ReadAs as) {
    auto trace = recorded_trace(archive, entry);
    if (!trace) return trace.error();
    auto standing = standing_of(known, entry.number);
    SourcedTrace sourced;
    if (as == ReadAs::recorded || standing.empty()) {
        if (!standing.empty())
            sourced.remarks.push_back(fmt::format("as it was recorded: {} correction{} left aside",
                                                  standing.size(),
                                                  standing.size() == 1 ? "" : "s"));
        sourced.trace = std::move(*trace);
        return sourced;
    }
    auto applied = corrected(whole_trace(*trace), to_apply(standing));
    if (!applied) return applied.error();
    sourced.trace = std::move(*applied);
    for (const KnownCorrection& each : standing)
        sourced.remarks.push_back(correction_text(each));
    sourced.corrections = std::move(standing);
    return sourced;
}

/// What is true of the archive and of the loggers, whatever part is read.
Result<SourcedTrace> about_all(Archive& archive, const std::vector<ArchiveEntry>& chosen) {
    SourcedTrace about;
    auto checks = archive.cell_checks();
    if (!checks) return checks.error();
    about.cell_checks = std::move(*checks);
    for (const std::string& loss : archive.losses())
        about.remarks.push_back("the archive is damaged; lost: " + loss);
    std::set<std::uint32_t> devices;
    for (const ArchiveEntry& entry : chosen) {
        if (!entry.device || !devices.insert(*entry.device).second) continue;
        auto left = left_behind_words(archive, *entry.device);
        if (!left) return left.error();
        if (!left->empty()) about.remarks.push_back(std::move(*left));
    }
    return about;
}

std::string what_of(const ArchiveEntry& entry) {
    return fmt::format("deployment {} ({})", entry.number, entry.origin);
}

} // namespace

Result<SourcedTrace> trace_of(Archive& archive, const std::string& archive_file,
                              const Wanted& wanted, ReadAs as) {
    const auto entries = entries_of(archive);
    if (!entries) return entries.error();
    const auto chosen = chosen_entries(*entries, wanted, archive_file);
    if (!chosen) return chosen.error();
    const auto known = known_corrections(archive, *entries);
    if (!known) return known.error();
    auto whole = about_all(archive, *chosen);
    if (!whole) return whole.error();
    std::vector<Readings> parts;
    for (const ArchiveEntry& entry : *chosen) {
        auto part = part_of(archive, entry, *known, as);
        if (!part) return part.error();
        std::ranges::move(part->remarks, std::back_inserter(whole->remarks));
        std::ranges::move(part->corrections, std::back_inserter(whole->corrections));
        parts.push_back(std::move(part->trace));
    }
    const std::string file = std::filesystem::path(archive_file).filename().string();
    if (parts.size() == 1) {
        const ArchiveEntry& only = chosen->front();
        whole->trace = std::move(parts.front());
        whole->trace.name = fmt::format("{}, {}, deployment {}", file, only.origin, only.number);
        return whole;
    }
    std::vector<std::uint32_t> numbers;
    for (const ArchiveEntry& entry : *chosen)
        numbers.push_back(entry.number);
    std::vector<TracePart> traces;
    for (std::size_t i = 0; i < parts.size(); ++i)
        traces.push_back({whole_trace(parts[i]), what_of((*chosen)[i])});
    auto trace = joined(std::move(traces));
    if (!trace) {
        Error error = trace.error();
        error.where = archive_file;
        return error;
    }
    whole->trace = std::move(*trace);
    whole->trace.name = fmt::format("{}, deployments {}", file, fmt::join(numbers, ", "));
    whole->remarks.push_back(fmt::format("deployments {} are read as one trace; nothing is known "
                                         "of the time between them",
                                         fmt::join(numbers, ", ")));
    return whole;
}

} // namespace quaycell
