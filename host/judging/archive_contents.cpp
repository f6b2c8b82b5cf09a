#include "judging/archive_contents.h"

#include "judging/device_name.h"
#include "judging/entry_corrections.h"

#include <algorithm>
#include <charconv>
#include <fmt/format.h>
#include <iostream>
#include <map>

namespace quaycell {

namespace {

/// Finds the deployments of each logger in its records.
class DeploymentFinders final : public RecordVisitor {
  public:
    explicit DeploymentFinders(MakeBytesTaker make_taker = nullptr)
        : make_taker_(std::move(make_taker)) {}

    void see(std::uint32_t device, std::span<const std::uint8_t> records) override {
        finders_.try_emplace(device, make_taker_).first->second.add(records);
    }
    void begin_again() override { finders_.clear(); }

    std::vector<ArchiveEntry> entries() && {
        std::vector<ArchiveEntry> entries;
        for (auto& [device, finder] : finders_)
            for (const Deployment& each : std::move(finder).found())
                entries.push_back({0, each.armed_at, "logger " + device_name(device), each.readings,
                                   device, each, key_of(device, each.first_record),
                                   key_of(device, each.last_record)});
        return entries;
    }

  private:
    static EntryKey key_of(std::uint32_t device, const wire::RecordHead& head) {
        return {false, device, head.boot, head.sequence};
    }

    MakeBytesTaker make_taker_;
    std::map<std::uint32_t, DeploymentFinder> finders_;
};

std::string list_text(const std::vector<ArchiveEntry>& entries) {
    std::string text;
    for (const ArchiveEntry& entry : entries)
        text += fmt::format("{}{} ({}, {})", text.empty() ? "" : "; ", entry.number, entry.origin,
                            start_text(entry));
    return text;
}

/// Where the times of a beginning were moved by a correction.
Result<Done> move_starts(Archive& archive, std::vector<ArchiveEntry>& entries) {
    const auto known = known_corrections(archive, entries);
    if (!known) return known.error();
    for (ArchiveEntry& entry : entries) {
        for (const KnownCorrection& each : standing_of(*known, entry.number)) {
            const auto* moved = std::get_if<MovedTimes>(&*each.change);
            if (moved != nullptr && each.row.part.from_start && entry.from)
                *entry.from += moved->by;
        }
    }
    std::ranges::stable_sort(entries, {}, &ArchiveEntry::from);
    return Done{};
}

/// All entries of an archive, of which those of the loggers are given.
Result<std::vector<ArchiveEntry>> with_imported(std::vector<ArchiveEntry> entries,
                                                Archive& archive) {
    const auto imported = archive.imported();
    if (!imported) return imported.error();
    for (const ImportedTrace& trace : *imported)
        entries.push_back(
            {0,
             trace.from,
             "imported " + trace.name,
             static_cast<std::size_t>(trace.readings),
             std::nullopt,
             {},
             EntryKey{true, trace.id, 0, 0},
             EntryKey{true, trace.id, 0, static_cast<std::uint32_t>(trace.readings)}});
    std::ranges::stable_sort(entries, {}, &ArchiveEntry::from);
    const auto numbered = archive.numbered_entries();
    if (!numbered) return numbered.error();
    std::uint32_t highest = numbered->empty() ? 0 : numbered->back().number;
    for (ArchiveEntry& entry : entries) {
        const auto known = std::ranges::find(*numbered, entry.key, &NumberedEntry::key);
        entry.number = known != numbered->end() ? known->number : ++highest;
    }
    if (const auto moved = move_starts(archive, entries); !moved) return moved.error();
    return entries;
}

} // namespace

std::string start_text(const ArchiveEntry& entry) {
    return entry.from ? to_text(*entry.from) : "a time that nobody knows";
}

Result<Archive> open_to_read(const std::string& archive_file, RecordVisitor* visitor) {
    auto archive = Archive::open(archive_file, OpenMode::read, visitor);
    if (!archive) return archive;
    for (const std::string& loss : archive->losses())
        std::cerr << "quaycell: warning: " << archive_file << " is damaged; lost: " << loss << '\n';
    return archive;
}

Result<ReadArchive> read_archive(const std::string& archive_file, MakeBytesTaker make_taker) {
    DeploymentFinders finders(std::move(make_taker));
    auto archive = open_to_read(archive_file, &finders);
    if (!archive) return archive.error();
    auto entries = with_imported(std::move(finders).entries(), *archive);
    if (!entries) return entries.error();
    return ReadArchive{std::move(*archive), std::move(*entries)};
}

Result<std::vector<ArchiveEntry>> entries_of(Archive& archive) {
    DeploymentFinders finders;
    if (const auto shown = archive.show_all(finders); !shown) return shown.error();
    return with_imported(std::move(finders).entries(), archive);
}

Result<Done> number_entries(Archive& archive) {
    auto entries = entries_of(archive);
    if (!entries) return entries.error();
    std::ranges::sort(*entries, {}, &ArchiveEntry::number);
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

Result<ArchiveEntry> chosen_entry(const std::vector<ArchiveEntry>& entries, std::uint32_t number,
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
                     "Name one with --deployment, or several of one boat, 1,2, or all: " +
                         list_text(entries) + "."};
    }
    const auto found = std::ranges::find(entries, number, &ArchiveEntry::number);
    if (found != entries.end()) return *found;
    return Error{ErrorCode::wrong_usage, fmt::format("there is no deployment {}", number),
                 archive_file, "It holds: " + list_text(entries) + "."};
}

Result<Wanted> parse_wanted(std::string_view text) {
    Wanted wanted;
    if (text == "all") {
        wanted.all = true;
        return wanted;
    }
    while (!text.empty()) {
        const std::string_view each = text.substr(0, text.find(','));
        std::uint32_t number = 0;
        const auto [end, error] = std::from_chars(each.data(), each.data() + each.size(), number);
        if (error != std::errc() || end != each.data() + each.size() || number == 0)
            return Error{ErrorCode::wrong_usage,
                         fmt::format("\"{}\" is not the number of a deployment", each),
                         "--deployment", "Give a number, several with commas, 2,3,5, or all."};
        wanted.numbers.push_back(number);
        text.remove_prefix(std::min(each.size() + 1, text.size()));
    }
    return wanted;
}

Result<std::vector<ArchiveEntry>> chosen_entries(const std::vector<ArchiveEntry>& entries,
                                                 const Wanted& wanted,
                                                 const std::string& archive_file) {
    std::vector<std::uint32_t> numbers = wanted.numbers;
    if (wanted.all)
        for (const ArchiveEntry& entry : entries)
            if (entry.readings != 0) numbers.push_back(entry.number);
    if (numbers.empty()) numbers.push_back(0);
    std::vector<ArchiveEntry> chosen;
    for (const std::uint32_t number : numbers) {
        const auto entry = chosen_entry(entries, number, archive_file);
        if (!entry) return entry.error();
        if (std::ranges::find(chosen, entry->number, &ArchiveEntry::number) == chosen.end())
            chosen.push_back(*entry);
    }
    std::ranges::stable_sort(chosen, {}, &ArchiveEntry::from);
    return chosen;
}

} // namespace quaycell
