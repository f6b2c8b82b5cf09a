#include "judging/archive_trace.h"

#include "judging/correction_text.h"
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

Result<Readings> imported_trace(std::string_view text, std::string_view origin) {
    auto trace = read_trace_csv(text, origin);
    if (!trace) return trace.error();
    trace->sequence.resize(trace->time.size());
    std::iota(trace->sequence.begin(), trace->sequence.end(), 0);
    return Readings(std::move(*trace));
}

namespace {

/// Calls `take` with the records of a logger's entry, in order, some at a time.
Result<Done> for_each_records_of(Archive& archive, const ArchiveEntry& entry,
                                 const VisitRecords& take) {
    const std::size_t first = entry.deployment.first, end = first + entry.deployment.count;
    std::size_t place = 0;
    return archive.for_each_records(*entry.device, [&](std::span<const std::uint8_t> records) {
        const std::size_t count = records.size() / wire::record_size;
        const std::size_t from = std::clamp(first, place, place + count) - place;
        const std::size_t to = std::clamp(end, place, place + count) - place;
        if (from < to)
            take(records.subspan(from * wire::record_size, (to - from) * wire::record_size));
        place += count;
    });
}

} // namespace

Result<RecordedEntry> recording_of(Archive& archive, const ArchiveEntry& entry,
                                   const MakeBytesTaker& make_taker) {
    const Deployment& deployment = entry.deployment;
    if (deployment.recording && (deployment.taker || !make_taker))
        return RecordedEntry{deployment.recording, deployment.taker};
    const auto recording = std::make_shared<Recording>();
    const std::shared_ptr<BytesTaker> taker = make_taker ? make_taker() : nullptr;
    const auto read =
        for_each_records_of(archive, entry, [&](std::span<const std::uint8_t> records) {
            recording->add(records);
            if (taker) taker->take(records);
        });
    if (!read) return read.error();
    recording->finish();
    return RecordedEntry{recording, taker};
}

Result<LoggerRow> logger_of(Archive& archive, const ArchiveEntry& entry) {
    const auto build = archive.firmware_build(*entry.device, entry.key.boot);
    if (!build) return build.error();
    return archive.logger(*entry.device, entry.from.value_or(Instant::max()), *build);
}

Result<std::vector<SequenceRange>> spent_in(Archive& archive, const ArchiveEntry& entry) {
    // To find it out takes as long as reading all records does.
    if (entry.deployment.is_gapless()) return std::vector<SequenceRange>();
    return archive.spent(*entry.device, entry.key.first_sequence, entry.last.first_sequence);
}

Result<Readings> recorded_trace(Archive& archive, const ArchiveEntry& entry) {
    if (!entry.device) {
        const auto text = archive.imported_csv(entry.key.whose);
        if (!text) return text.error();
        return imported_trace(*text, entry.origin);
    }
    const auto facts = logger_of(archive, entry);
    if (!facts) return facts.error();
    const auto spent = spent_in(archive, entry);
    if (!spent) return spent.error();
    const auto recorded = recording_of(archive, entry, nullptr);
    if (!recorded) return recorded.error();
    return recorded->recording->readings({*entry.device, facts->circuit, facts->calibration},
                                         *spent);
}

namespace {

/// Whether it is of a part that is told by its times.
bool is_of_a_part(const KnownCorrection& correction) {
    return correction.change && !(correction.row.part.from_start && correction.row.part.to_end);
}

bool moves_times(const KnownCorrection& correction) {
    return correction.change && std::holds_alternative<MovedTimes>(*correction.change);
}

} // namespace

Result<Done> tell_by_present_clock(Archive& archive, const std::vector<ArchiveEntry>& entries,
                                   std::vector<KnownCorrection>& known) {
    for (const ArchiveEntry& entry : entries) {
        const auto any_of_it = [&](bool (*is_so)(const KnownCorrection&)) {
            return std::ranges::any_of(known, [&](const KnownCorrection& each) {
                return each.deployment == entry.number && is_so(each);
            });
        };
        if (!any_of_it(moves_times) || !any_of_it(is_of_a_part)) continue;
        const auto recorded = recorded_trace(archive, entry);
        if (!recorded) return recorded.error();
        tell_by_present_clock(known, entry.number, *recorded);
    }
    return Done{};
}

namespace {

/// Of one entry, whose readings and corrections it takes, without what is true of the whole
/// archive.
Result<SourcedTrace> part_of(TraceEntry& entry, ReadAs as) {
    SourcedTrace sourced;
    if (as == ReadAs::recorded || entry.standing.empty()) {
        if (!entry.standing.empty())
            sourced.remarks.push_back(fmt::format("as it was recorded: {} correction{} left aside",
                                                  entry.standing.size(),
                                                  entry.standing.size() == 1 ? "" : "s"));
        sourced.trace = std::move(entry.recorded);
        return sourced;
    }
    tell_by_present_clock(entry.standing, entry.number, entry.recorded);
    auto applied = corrected(whole_trace(entry.recorded), to_apply(entry.standing));
    if (!applied) return applied.error();
    sourced.trace = std::move(*applied);
    for (const KnownCorrection& each : entry.standing)
        sourced.remarks.push_back(correction_text(each));
    sourced.corrections = std::move(entry.standing);
    return sourced;
}

std::string what_of(const TraceEntry& entry) {
    return fmt::format("deployment {} ({})", entry.number, entry.origin);
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

Error only_surveys(std::int64_t newest, const std::string& archive_file) {
    return {ErrorCode::wrong_input, "the archive holds surveys, and no readings over time",
            archive_file,
            fmt::format("`quaycell report --survey {0}` reports the newest one, `quaycell survey "
                        "--show --survey {0}` tells it.",
                        newest)};
}

} // namespace

Result<ChosenEntries> choose(ReadArchive& read, const std::string& archive_file,
                             const Wanted& wanted) {
    auto& [archive, entries] = read;
    if (entries.empty()) {
        const auto surveys = archive.surveys();
        if (!surveys) return surveys.error();
        if (!surveys->empty()) return only_surveys(surveys->back().number, archive_file);
    }
    auto chosen = chosen_entries(entries, wanted, archive_file);
    if (!chosen) return chosen.error();
    auto known = known_corrections(archive, entries);
    if (!known) return known.error();
    auto about = about_all(archive, *chosen);
    if (!about) return about.error();
    return ChosenEntries{std::move(*chosen), std::move(*known), std::move(*about)};
}

Result<SourcedTrace> assembled(std::vector<TraceEntry> entries, SourcedTrace about,
                               const std::string& archive_file, ReadAs as) {
    SourcedTrace whole = std::move(about);
    std::vector<Readings> parts;
    std::vector<std::uint32_t> numbers;
    std::vector<std::string> names;
    for (TraceEntry& entry : entries) {
        numbers.push_back(entry.number);
        names.push_back(what_of(entry));
        auto part = part_of(entry, as);
        if (!part) return part.error();
        std::ranges::move(part->remarks, std::back_inserter(whole.remarks));
        std::ranges::move(part->corrections, std::back_inserter(whole.corrections));
        parts.push_back(std::move(part->trace));
    }
    const std::string file = std::filesystem::path(archive_file).filename().string();
    if (parts.size() == 1) {
        whole.trace = std::move(parts.front());
        whole.trace.name =
            fmt::format("{}, {}, deployment {}", file, entries.front().origin, numbers.front());
        return whole;
    }
    std::vector<TracePart> traces;
    for (std::size_t i = 0; i < parts.size(); ++i)
        traces.push_back({whole_trace(parts[i]), std::move(names[i])});
    auto trace = joined(std::move(traces));
    if (!trace) {
        Error error = trace.error();
        error.where = archive_file;
        return error;
    }
    whole.trace = std::move(*trace);
    whole.trace.name = fmt::format("{}, deployments {}", file, fmt::join(numbers, ", "));
    whole.remarks.push_back(fmt::format("deployments {} are read as one trace; nothing is known "
                                        "of the time between them",
                                        fmt::join(numbers, ", ")));
    return whole;
}

Result<SourcedTrace> trace_of(ReadArchive& read, const std::string& archive_file,
                              const Wanted& wanted, ReadAs as) {
    auto chosen = choose(read, archive_file, wanted);
    if (!chosen) return chosen.error();
    std::vector<TraceEntry> parts;
    for (const ArchiveEntry& entry : chosen->entries) {
        auto recorded = recorded_trace(read.archive, entry);
        if (!recorded) return recorded.error();
        parts.push_back({entry.number, entry.origin, std::move(*recorded),
                         standing_of(chosen->known, entry.number)});
    }
    return assembled(std::move(parts), std::move(chosen->about), archive_file, as);
}

} // namespace quaycell
