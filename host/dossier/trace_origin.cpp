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

Result<TraceOrigin> read_csv_origin(const std::string& file, const OriginBytes& bytes) {
    const auto text = read_file(file);
    if (!text) return text.error();
    TraceOrigin origin;
    origin.name = std::filesystem::path(file).filename().string();
    OriginPart part;
    part.file = source_name;
    bytes.begin(part.file, text->size());
    bytes.add(*text);
    origin.parts.push_back(std::move(part));
    return origin;
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

Result<OriginPart> read_entry(Archive& archive, const ArchiveEntry& entry,
                              const std::vector<KnownCorrection>& known, const OriginBytes& bytes) {
    auto part = facts_of_entry(archive, entry, known);
    if (!part) return part;
    if (entry.device) {
        part->file = fmt::format("{}{}.bin", records_name, entry.number);
        bytes.begin(part->file, entry.deployment.count * wire::record_size);
        const auto take = [&](std::span<const std::uint8_t> records) {
            bytes.add({reinterpret_cast<const char*>(records.data()), records.size()});
        };
        const auto read = for_each_records_of(archive, entry, take);
        if (!read) return read.error();
    } else {
        const auto text = archive.imported_csv(entry.key.whose);
        if (!text) return text.error();
        part->file = fmt::format("{}{}.csv", imported_name, entry.number);
        bytes.begin(part->file, text->size());
        bytes.add(*text);
    }
    return part;
}

Result<TraceOrigin> read_archive_origin(ReadArchive& read, const TraceOptions& options,
                                        const OriginBytes& bytes) {
    const auto wanted = parse_wanted(options.deployments);
    if (!wanted) return wanted.error();
    auto chosen = choose(read, options.archive_file, *wanted);
    if (!chosen) return chosen.error();
    auto notes = notes_of(read.archive, devices_of(chosen->entries));
    if (!notes) return notes.error();
    TraceOrigin origin = origin_of_archive(options.archive_file);
    origin.read_as = options.uncorrected ? ReadAs::recorded : ReadAs::corrected;
    origin.cell_checks = std::move(chosen->about.cell_checks);
    origin.remarks = std::move(chosen->about.remarks);
    origin.notes = std::move(*notes);
    for (const ArchiveEntry& entry : chosen->entries) {
        auto part = read_entry(read.archive, entry, chosen->known, bytes);
        if (!part) return part.error();
        origin.parts.push_back(std::move(*part));
    }
    return origin;
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

Result<Readings> read_records(const OriginPart& part, const std::string& bytes) {
    if (bytes.size() % wire::record_size != 0)
        return unreadable(part.file, "these are not whole records");
    const std::span records(reinterpret_cast<const std::uint8_t*>(bytes.data()), bytes.size());
    for (std::size_t at = 0; at < records.size(); at += wire::record_size)
        if (!wire::is_valid_record(records.data() + at))
            return unreadable(part.file,
                              fmt::format("the checksum of record {} in the file is wrong",
                                          at / wire::record_size + 1));
    Recording recording;
    recording.add(records);
    recording.finish();
    return recording.readings({part.logger->device, part.logger->circuit, part.logger->calibration},
                              part.spent);
}

Result<Readings> read_part(const OriginPart& part, std::span<const Attachment> files,
                           const TraceOrigin& origin) {
    const auto file = file_of(part, files);
    if (!file) return file.error();
    return part.logger ? read_records(part, (*file)->bytes)
                       : read_csv(part, (*file)->bytes, origin);
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
    auto logger = archive.logger(*entry.device, entry.from.value_or(Instant::max()));
    if (!logger) return logger.error();
    part.logger = std::move(*logger);
    auto spent = archive.spent(*entry.device, entry.key.first_sequence, entry.last.first_sequence);
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

Result<TraceOrigin> read_origin(const TraceOptions& options, const OriginBytes& bytes) {
    if (!options.archive_file.empty()) {
        auto read = read_archive(options.archive_file);
        if (!read) return read.error();
        return read_archive_origin(*read, options, bytes);
    }
    if (!options.trace_file.empty()) return read_csv_origin(options.trace_file, bytes);
    return Error{ErrorCode::wrong_usage, "there is nothing to read", "",
                 "Give --trace FILE.csv or --archive FILE."};
}

namespace {

/// Whatever `read` reads, with all the bytes kept.
template <typename Read>
Result<GatheredTrace> gathered(const Read& read) {
    GatheredTrace gathered;
    auto origin = read(
        OriginBytes{[&](const std::string& file, std::size_t count) {
                        gathered.files.push_back(described(file, ""));
                        gathered.files.back().bytes.reserve(count);
                    },
                    [&](std::string_view bytes) { gathered.files.back().bytes.append(bytes); }});
    if (!origin) return origin.error();
    gathered.origin = std::move(*origin);
    return gathered;
}

} // namespace

Result<GatheredTrace> gather_trace(const TraceOptions& options) {
    return gathered([&](const OriginBytes& bytes) { return read_origin(options, bytes); });
}

Result<GatheredTrace> gather_trace(ReadArchive& read, const TraceOptions& options) {
    return gathered(
        [&](const OriginBytes& bytes) { return read_archive_origin(read, options, bytes); });
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
