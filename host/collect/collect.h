// From the logger's memory into the archive.
#pragma once

#include "collect/archive_writer.h"
#include "link/steady_logger.h"

#include <vector>

namespace quaycell {

struct CollectReport {
    std::uint32_t device = 0;
    std::uint64_t received = 0;     ///< slots that the logger sent
    std::uint64_t added = 0;        ///< records that are new in the archive
    std::uint64_t already_held = 0; ///< records that the archive had, sent or not
    std::uint64_t bad = 0;          ///< slots without a good record that the logger sent
    /// Numbers between the logger's oldest and newest record that have no good record, found out
    /// now or earlier: torn by a power cut, or overwritten while they were being collected. They
    /// are asked for once.
    std::vector<SequenceRange> gaps;
    std::uint32_t worn_sectors = 0; ///< that the logger has passed over; nothing is lost in them
    std::uint32_t baud = wire::baud_rate; ///< after the last block that was worth a faster line
    RejectCounts rejects;                 ///< of the line, since the logger was connected
};

/// Brings the archive everything that the logger holds and the archive does not, with who and what
/// belongs to it. While one block is put on the disk the next one is on the line; a collection that
/// breaks off has lost at most those two, and the next one goes on from there. Collecting again
/// adds nothing.
/// `progress` counts slots.
/// Errors: those of Logger and Archive.
Result<CollectReport> collect(Logger& logger, Archive& archive, const Progress& progress = {});

/// The same, bearing losses of the logger: it goes on where it stopped once the logger is back.
/// Errors besides: those of SteadyLogger::keep_at(); interrupted when `stop`, which is asked with
/// every slot, says so.
Result<CollectReport> collect(SteadyLogger& logger, ArchiveWriter& archive,
                              const Progress& progress, const std::function<bool()>& stop);

} // namespace quaycell
