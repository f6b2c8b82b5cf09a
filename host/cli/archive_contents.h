// What an archive holds, as the user numbers it: deployments of loggers and imported traces.
#pragma once

#include "archive/archive.h"
#include "series/decode.h"

#include <string>
#include <vector>

namespace quaycell {

/// One deployment of one logger, or one imported trace.
struct ArchiveEntry {
    std::uint32_t number;        ///< counts from 1 in order of time
    std::optional<Instant> from; ///< armed, or first reading; none where the clock was never set
    std::string origin;          ///< "logger 0000a1b2" or "imported week.csv"
    std::size_t readings;
    std::optional<std::uint32_t> device; ///< of a logger's deployment
    Deployment deployment;               ///< within that logger's records
    std::int64_t imported_id = 0;        ///< of an imported trace
};

/// Since when, in words.
std::string start_text(const ArchiveEntry& entry);

/// Opens an archive to read, and says on standard error what is lost of a damaged one.
Result<Archive> open_to_read(const std::string& archive_file);

Result<std::vector<ArchiveEntry>> entries_of(Archive& archive);

/// The trace of one entry; of the last one where `number` is 0, as long as all entries have one
/// origin.
Result<Trace> trace_of(Archive& archive, const std::string& archive_file, std::uint32_t number);

} // namespace quaycell
