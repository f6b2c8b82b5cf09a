#include "cli/earlier_readings.h"

#include "cli/logger_port.h"
#include "cli/progress_line.h"
#include "collect/collect.h"
#include "judging/archive_contents.h"
#include "judging/device_name.h"

namespace quaycell {

namespace {

/// A slot that is not whole may have been a reading.
Result<bool> holds_readings(Logger& logger) {
    const auto status = logger.status();
    if (!status) return status.error();
    const std::uint32_t slots = status->next_sequence - status->tail_sequence;
    if (status->interval_s == 0 || slots == 0) return false; // never armed
    // What a logger writes without being armed (restarts, clock settings) hardly fills a sector.
    if (slots > wire::slots_per_sector) return true;
    bool found = false;
    const auto look = [&](std::uint32_t sequence, const RecordBytes& bytes) -> Outcome {
        found |= !is_good({sequence, bytes}) ||
                 bytes[0] == static_cast<std::uint8_t>(wire::RecordKind::reading);
        return Done{};
    };
    if (const auto read = logger.read(status->tail_sequence, slots, look); !read)
        return read.error();
    return found;
}

Outcome bring(Logger& logger, Archive& archive, const char* what) {
    ProgressLine progress(what, "records");
    const auto report = collect(logger, archive, [&](std::uint64_t done, std::uint64_t total) {
        progress.show(done, total);
    });
    if (!report) return report.error();
    return Done{};
}

/// The archive has, or knows to be bad, every number that the logger holds.
Outcome check_complete(Logger& logger, Archive& archive, const std::string& archive_file) {
    const auto status = logger.status();
    if (!status) return status.error();
    const auto missing =
        archive.missing(logger.hello().device_id, status->tail_sequence, status->next_sequence);
    if (!missing) return missing.error();
    if (missing->empty()) return Done{};
    return Error{ErrorCode::refused, "the archive does not hold all that the logger holds",
                 archive_file, "Collect into it, then try again."};
}

} // namespace

Outcome keep_earlier_readings(Logger& logger, const std::string& archive_file,
                              const std::string& remedy) {
    const auto holds = holds_readings(logger);
    if (!holds) return holds.error();
    if (!*holds) return Done{};
    if (archive_file.empty())
        return Error{ErrorCode::refused,
                     "the logger holds readings of an earlier deployment, which would be lost",
                     device_name(logger.hello().device_id), remedy};
    auto archive = Archive::open(archive_file, OpenMode::write_create);
    if (!archive) return archive.error();
    // It records on meanwhile, so that a cable that fails here costs nothing.
    const auto most = bring(logger, *archive, "collecting the earlier deployment");
    if (!most) return most;
    if (const auto stopped = logger.stop(); !stopped) return stopped.error();
    const auto rest = bring(logger, *archive, "collecting the rest of it");
    if (!rest) return rest;
    if (const auto numbered = number_entries(*archive); !numbered) return numbered;
    return check_complete(logger, *archive, archive_file);
}

} // namespace quaycell
