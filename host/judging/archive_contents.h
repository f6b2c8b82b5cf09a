// What an archive holds, as the user numbers it: deployments of loggers and imported traces.
#pragma once

#include "archive/archive.h"
#include "series/deployments.h"

#include <string>
#include <vector>

namespace quaycell {

/// One deployment of one logger, or one imported trace.
struct ArchiveEntry {
    std::uint32_t number; ///< given once, see number_entries()
    /// Armed, or first reading, as corrected; none where the clock was never set.
    std::optional<Instant> from;
    std::string origin; ///< "logger 0000a1b2" or "imported week.csv"
    std::size_t readings;
    std::optional<std::uint32_t> device; ///< of a logger's deployment
    Deployment deployment;               ///< within that logger's records
    EntryKey key;                        ///< what the number stands for
    EntryKey last;                       ///< its last record, in the same way
};

/// Since when, in words.
std::string start_text(const ArchiveEntry& entry);

/// Opens an archive to read, and warns on standard error when it is damaged. For the visitor see
/// Archive::open().
Result<Archive> open_to_read(const std::string& archive_file, RecordVisitor* visitor = nullptr);

/// In order of time. What has no number yet is counted on from the highest.
Result<std::vector<ArchiveEntry>> entries_of(Archive& archive);

/// Both at once, which takes half the time. `make_taker`: see DeploymentFinder.
struct ReadArchive {
    Archive archive;
    std::vector<ArchiveEntry> entries;
};
Result<ReadArchive> read_archive(const std::string& archive_file,
                                 MakeBytesTaker make_taker = nullptr);

/// Gives what is new in the archive its numbers. To be called when something has been added.
Result<Done> number_entries(Archive& archive);

/// How many records a collection that broke off has left in the logger, in words; else empty.
Result<std::string> left_behind_words(Archive& archive, std::uint32_t device);

/// --deployment: numbers, or all of an archive, which is then one boat's; neither: the newest one.
struct Wanted {
    std::vector<std::uint32_t> numbers;
    bool all = false;
};

/// "3", "2,3,5" or "all"; empty for the newest. Error: wrong_usage.
Result<Wanted> parse_wanted(std::string_view text);

/// Those entries, in the order of `entries`, each once. Of all, those without a reading are left
/// out.
Result<std::vector<ArchiveEntry>> chosen_entries(const std::vector<ArchiveEntry>& entries,
                                                 const Wanted& wanted,
                                                 const std::string& archive_file);

/// The entry of that number. Where it is 0, the newest one, as long as all have one origin.
Result<ArchiveEntry> chosen_entry(const std::vector<ArchiveEntry>& entries, std::uint32_t number,
                                  const std::string& archive_file);

} // namespace quaycell
