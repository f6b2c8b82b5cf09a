#include "dossier/trace_origin.h"

#include "dossier/report_files.h"
#include "judging/archive_contents.h"
#include "judging/files.h"
#include "judging/trace_source.h"
#include "series/recording.h"
#include "series/trace_csv.h"

#include <algorithm>
#include <filesystem>
#include <fmt/format.h>

namespace quaycell {

namespace {

LoggerFacts facts_of(const OriginPart& part) {
    return {part.logger->device, part.logger->circuit, part.logger->calibration};
}

std::span<const std::uint8_t> bytes_of(std::string_view text) {
    return {reinterpret_cast<const std::uint8_t*>(text.data()), text.size()};
}

TakenFile taken(std::string name, std::string_view text, const MakeFileTaker& takers) {
    TakenFile file{std::move(name), takers()};
    file.taker->take(bytes_of(text));
    return file;
}

Result<GatheredTrace> gather_csv(const std::string& file, const MakeFileTaker& takers) {
    const auto text = read_file(file);
    if (!text) return text.error();
    GatheredTrace gathered;
    gathered.origin.name = std::filesystem::path(file).filename().string();
    gathered.origin.parts.emplace_back().file = source_name;
    auto trace = read_trace_csv(*text, gathered.origin.name); // what the user calls it
    if (!trace) return trace.error();
    gathered.files.push_back(taken(source_name, *text, takers));
    gathered.whole.trace = Readings(std::move(*trace));
    gathered.whole.trace.name = gathered.origin.name;
    return gathered;
}

/// Of those loggers, or of none.
Result<std::vector<Note>> notes_of(Archive& archive, const std::vector<std::uint32_t>& devices) {
    auto notes = archive.notes();
    if (!notes) return notes;
    std::erase_if(*notes, [&](const Note& note) {
        return note.device != 0 && std::ranges::find(devices, note.device) == devices.end();
    });
    return notes;
}

std::vector<std::uint32_t> devices_of(const std::vector<ArchiveEntry>& entries) {
    std::vector<std::uint32_t> devices;
    for (const ArchiveEntry& entry : entries)
        if (entry.device) devices.push_back(*entry.device);
    return devices;
}

TraceOrigin origin_of_archive(const std::string& archive_file) {
    TraceOrigin origin;
    origin.name = std::filesystem::path(archive_file).filename().string();
    origin.is_archive = true;
    return origin;
}

/// What reading an entry takes besides its bytes, these, and what they say.
struct ReadEntry {
    OriginPart part;
    TakenFile file;
    Readings recorded;
};

Result<ReadEntry> read_entry(Archive& archive, const ArchiveEntry& entry,
                             const std::vector<KnownCorrection>& known,
                             const MakeFileTaker& takers) {
    auto part = facts_of_entry(archive, entry, known);
    if (!part) return part.error();
    if (!entry.device) {
        const auto text = archive.imported_csv(entry.key.whose);
        if (!text) return text.error();
        auto recorded = imported_trace(*text, entry.origin);
        if (!recorded) return recorded.error();
        part->file = fmt::format("{}{}.csv", imported_name, entry.number);
        TakenFile file = taken(part->file, *text, takers);
        return ReadEntry{std::move(*part), std::move(file), std::move(*recorded)};
    }
    part->file = fmt::format("{}{}.bin", records_name, entry.number);
    const auto read = recording_of(archive, entry, takers);
    if (!read) return read.error();
    auto recorded = read->recording->readings(facts_of(*part), part->spent);
    if (!recorded) return recorded.error();
    TakenFile file{part->file, std::static_pointer_cast<FileTaker>(read->taker)};
    return ReadEntry{std::move(*part), std::move(file), std::move(*recorded)};
}

Error unreadable(const std::string& file, std::string why) {
    return {ErrorCode::damaged, std::move(why), file, "Ask for the report as it was sent first."};
}

Result<const Attachment*> file_of(const OriginPart& part, std::span<const Attachment> files) {
    const Attachment* const file = named(files, part.file);
    if (file == nullptr) return unreadable(part.file, "the readings are missing");
    return file;
}

Result<Readings> read_csv(const OriginPart& part, const std::string& text,
                          const TraceOrigin& origin) {
    if (origin.is_archive) return imported_trace(text, part.origin);
    auto trace = read_trace_csv(text, origin.name); // what the user calls it
    if (!trace) return trace.error();
    return Readings(std::move(*trace));
}

/// Records that are read out of a file some bytes at a time, of which each has to be whole.
class RecordsReader {
  public:
    void add(std::string_view bytes) {
        rest_ += bytes;
        const std::size_t whole = rest_.size() - rest_.size() % wire::record_size;
        const auto records = bytes_of(rest_).first(whole);
        std::size_t seen = 0;
        visit_whole_records(records, [&](std::span<const std::uint8_t> some) {
            // A record that is passed over leaves a gap between those that are shown.
            const auto at = static_cast<std::size_t>(some.data() - records.data());
            if (at == seen && !damaged_) recording_.add(some);
            if (at != seen) note_damage(seen);
            seen = at + some.size();
        });
        if (seen != whole) note_damage(seen);
        count_ += whole / wire::record_size;
        rest_.erase(0, whole);
    }

    Result<Readings> readings(const OriginPart& part) {
        if (damaged_)
            return unreadable(
                part.file,
                fmt::format("the checksum of record {} in the file is wrong", *damaged_ + 1));
        if (!rest_.empty()) return unreadable(part.file, "these are not whole records");
        recording_.finish();
        return recording_.readings(facts_of(part), part.spent);
    }

  private:
    void note_damage(std::size_t at) {
        if (!damaged_) damaged_ = count_ + at / wire::record_size;
    }

    Recording recording_;
    std::string rest_; ///< the beginning of a record
    std::size_t count_ = 0;
    std::optional<std::size_t> damaged_; ///< the first, counted from 0
};

Result<Readings> read_part(const OriginPart& part, std::span<const Attachment> files,
                           const TraceOrigin& origin) {
    const auto file = file_of(part, files);
    if (!file) return file.error();
    if (part.logger) {
        RecordsReader reader;
        const auto read = (*file)->bytes.each([&](std::string_view some) { reader.add(some); });
        if (!read) return read.error();
        return reader.readings(part);
    }
    const auto text = (*file)->bytes.whole();
    if (!text) return text.error();
    return read_csv(part, **text, origin);
}

Result<std::vector<KnownCorrection>> standing_in(const OriginPart& part) {
    std::vector<KnownCorrection> standing;
    for (const CorrectionRow& row : part.corrections) {
        const auto change = parse_change(row.kind, row.value);
        if (!change) return change.error();
        standing.push_back({row, *change, part.number, {}});
    }
    return standing;
}

} // namespace

Result<OriginPart> facts_of_entry(Archive& archive, const ArchiveEntry& entry,
                                  const std::vector<KnownCorrection>& known) {
    OriginPart part;
    part.number = entry.number;
    part.origin = entry.origin;
    for (KnownCorrection& each : standing_of(known, entry.number))
        part.corrections.push_back(std::move(each.row));
    if (!entry.device) return part;
    auto logger = logger_of(archive, entry);
    if (!logger) return logger.error();
    part.logger = std::move(*logger);
    auto spent = spent_in(archive, entry);
    if (!spent) return spent.error();
    part.spent = std::move(*spent);
    return part;
}

Result<TraceOrigin> origin_of_survey(Archive& archive, std::uint32_t device,
                                     const std::string& archive_file) {
    TraceOrigin origin = origin_of_archive(archive_file);
    auto checks = archive.cell_checks();
    if (!checks) return checks.error();
    origin.cell_checks = std::move(*checks);
    auto notes = notes_of(archive, {device});
    if (!notes) return notes.error();
    origin.notes = std::move(*notes);
    for (const std::string& loss : archive.losses())
        origin.remarks.push_back("the archive is damaged; lost: " + loss);
    return origin;
}

Result<GatheredTrace> gather_trace(ReadArchive& read, const TraceOptions& options,
                                   const MakeFileTaker& takers) {
    const auto wanted = parse_wanted(options.deployments);
    if (!wanted) return wanted.error();
    auto chosen = choose(read, options.archive_file, *wanted);
    if (!chosen) return chosen.error();
    auto notes = notes_of(read.archive, devices_of(chosen->entries));
    if (!notes) return notes.error();
    GatheredTrace gathered;
    TraceOrigin& origin = gathered.origin;
    origin = origin_of_archive(options.archive_file);
    origin.read_as = options.uncorrected ? ReadAs::recorded : ReadAs::corrected;
    origin.cell_checks = chosen->about.cell_checks;
    origin.remarks = chosen->about.remarks;
    origin.notes = std::move(*notes);
    std::vector<TraceEntry> entries;
    for (const ArchiveEntry& entry : chosen->entries) {
        auto each = read_entry(read.archive, entry, chosen->known, takers);
        if (!each) return each.error();
        origin.parts.push_back(std::move(each->part));
        gathered.files.push_back(std::move(each->file));
        entries.push_back({entry.number, entry.origin, std::move(each->recorded),
                           standing_of(chosen->known, entry.number)});
    }
    auto whole = assembled(std::move(entries), std::move(chosen->about), options.archive_file,
                           origin.read_as);
    if (!whole) return whole.error();
    gathered.whole = std::move(*whole);
    return gathered;
}

Result<GatheredTrace> gather_trace(const TraceOptions& options, const MakeFileTaker& takers) {
    if (!options.archive_file.empty()) {
        auto read = read_archive(options.archive_file, takers);
        if (!read) return read.error();
        return gather_trace(*read, options, takers);
    }
    if (!options.trace_file.empty()) return gather_csv(options.trace_file, takers);
    return Error{ErrorCode::wrong_usage, "there is nothing to read", "",
                 "Give --trace FILE.csv or --archive FILE."};
}

Result<SourcedTrace> trace_from(const TraceOrigin& origin, std::span<const Attachment> files) {
    if (origin.parts.empty()) return unreadable(origin.name, "no readings are named");
    std::vector<TraceEntry> entries;
    for (const OriginPart& part : origin.parts) {
        auto recorded = read_part(part, files, origin);
        if (!recorded) return recorded.error();
        auto standing = standing_in(part);
        if (!standing) return standing.error();
        entries.push_back({part.number, part.origin, std::move(*recorded), std::move(*standing)});
    }
    SourcedTrace about{{}, origin.remarks, {}, origin.cell_checks};
    if (origin.is_archive)
        return assembled(std::move(entries), std::move(about), origin.name, origin.read_as);
    about.trace = std::move(entries.front().recorded);
    about.trace.name = origin.name;
    return about;
}

} // namespace quaycell
