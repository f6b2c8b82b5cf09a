#include "cli/archive_contents.h"

#include "cli/logger_port.h"
#include "series/trace_csv.h"

#include <algorithm>
#include <fmt/format.h>
#include <iostream>

namespace quaycell {

namespace {

Result<Done> add_deployments(Archive& archive, std::uint32_t device,
                             std::vector<ArchiveEntry>& entries) {
    const auto records = archive.records(device);
    if (!records) return records.error();
    for (const Deployment& deployment : deployments_of(*records)) {
        const auto first = wire::from_bytes<wire::RecordHead>((*records)[deployment.first].data());
        entries.push_back({0, deployment.armed_at, "logger " + device_name(device),
                           deployment.readings, device, deployment,
                           EntryKey{false, device, first.boot, first.sequence}});
    }
    return Done{};
}

Result<Trace> trace_of_entry(Archive& archive, const ArchiveEntry& entry) {
    if (!entry.device) {
        const auto text = archive.imported_csv(entry.key.whose);
        if (!text) return text.error();
        return read_trace_csv(*text, entry.origin);
    }
    // A board that was compared anew after this deployment was another one while it lasted.
    const auto facts = archive.logger(*entry.device, entry.from.value_or(Instant::max()));
    if (!facts) return facts.error();
    const auto records = archive.records(*entry.device);
    if (!records) return records.error();
    return decode(std::span(*records).subspan(entry.deployment.first, entry.deployment.count),
                  {*entry.device, facts->circuit, facts->calibration});
}

std::string list_text(const std::vector<ArchiveEntry>& entries) {
    std::string text;
    for (const ArchiveEntry& entry : entries)
        text += fmt::format("{}{} ({}, {})", text.empty() ? "" : "; ", entry.number, entry.origin,
                            start_text(entry));
    return text;
}

/// The entry of that number, or the last one where nobody says and there is no doubt.
Result<ArchiveEntry> chosen(const std::vector<ArchiveEntry>& entries, std::uint32_t number,
                            const std::string& archive_file) {
    if (entries.empty())
        return Error{ErrorCode::wrong_input, "the archive holds no readings yet", archive_file,
                     "Fill it with `quaycell collect` or `quaycell import`."};
    if (number == 0) {
        const bool one_origin = std::ranges::all_of(entries, [&](const ArchiveEntry& entry) {
            return entry.origin == entries.front().origin;
        });
        if (one_origin) return entries.back();
        return Error{ErrorCode::wrong_usage, "the archive holds more than one thing", archive_file,
                     "Name one with --deployment: " + list_text(entries) + "."};
    }
    const auto found = std::ranges::find(entries, number, &ArchiveEntry::number);
    if (found != entries.end()) return *found;
    return Error{ErrorCode::wrong_usage, fmt::format("there is no deployment {}", number),
                 archive_file, "It holds: " + list_text(entries) + "."};
}

} // namespace

std::string start_text(const ArchiveEntry& entry) {
    return entry.from ? to_text(*entry.from) : "a time that nobody knows";
}

Result<Archive> open_to_read(const std::string& archive_file) {
    auto archive = Archive::open(archive_file, OpenMode::read);
    if (!archive) return archive;
    for (const std::string& loss : archive->losses())
        std::cerr << "quaycell: warning: " << archive_file << " is damaged; lost: " << loss << '\n';
    return archive;
}

Result<std::vector<ArchiveEntry>> entries_of(Archive& archive) {
    std::vector<ArchiveEntry> entries;
    const auto devices = archive.devices();
    if (!devices) return devices.error();
    for (const DeviceSummary& device : *devices) {
        const auto added = add_deployments(archive, device.device, entries);
        if (!added) return added.error();
    }
    const auto imported = archive.imported();
    if (!imported) return imported.error();
    for (const ImportedTrace& trace : *imported)
        entries.push_back({0,
                           trace.from,
                           "imported " + trace.name,
                           static_cast<std::size_t>(trace.readings),
                           std::nullopt,
                           {},
                           EntryKey{true, trace.id, 0, 0}});
    std::ranges::stable_sort(entries, {}, &ArchiveEntry::from);
    const auto numbered = archive.numbered_entries();
    if (!numbered) return numbered.error();
    std::uint32_t highest = numbered->empty() ? 0 : numbered->back().number;
    for (ArchiveEntry& entry : entries) {
        const auto known = std::ranges::find(*numbered, entry.key, &NumberedEntry::key);
        entry.number = known != numbered->end() ? known->number : ++highest;
    }
    return entries;
}

Result<Done> number_entries(Archive& archive) {
    const auto entries = entries_of(archive);
    if (!entries) return entries.error();
    std::vector<EntryKey> keys;
    for (const ArchiveEntry& entry : *entries)
        keys.push_back(entry.key);
    return archive.number_entries(keys);
}

Result<std::string> left_behind_words(Archive& archive, std::uint32_t device) {
    const auto left = archive.left_behind(device);
    if (!left) return left.error();
    if (*left == 0) return std::string();
    return fmt::format("logger {} held {} more records when the collection broke off; `quaycell "
                       "collect` goes on from there",
                       device_name(device), *left);
}

Result<SourcedTrace> trace_of(Archive& archive, const std::string& archive_file,
                              std::uint32_t number) {
    const auto entries = entries_of(archive);
    if (!entries) return entries.error();
    const auto entry = chosen(*entries, number, archive_file);
    if (!entry) return entry.error();
    auto trace = trace_of_entry(archive, *entry);
    if (!trace) return trace.error();
    trace->name = fmt::format("{}, {}, deployment {}",
                              std::filesystem::path(archive_file).filename().string(),
                              entry->origin, entry->number);
    SourcedTrace sourced{std::move(*trace), {}};
    for (const std::string& loss : archive.losses())
        sourced.remarks.push_back("the archive is damaged; lost: " + loss);
    if (entry->device) {
        auto left = left_behind_words(archive, *entry->device);
        if (!left) return left.error();
        if (!left->empty()) sourced.remarks.push_back(std::move(*left));
    }
    return sourced;
}

} // namespace quaycell
