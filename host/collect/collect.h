// From the logger's memory into the archive.
#pragma once

#include "archive/archive.h"
#include "link/logger.h"

#include <vector>

namespace quaycell {

struct CollectReport {
    std::uint32_t device = 0;
    std::uint64_t received = 0;     ///< slots that the logger sent
    std::uint64_t added = 0;        ///< records that are new in the archive
    std::uint64_t already_held = 0; ///< records that the archive had, sent or not
    std::uint64_t bad = 0;          ///< slots without a good record
    /// Numbers between the logger's oldest and newest record that have no good record: torn by a
    /// power cut, or overwritten while they were being collected.
    std::vector<SequenceRange> gaps;
    RejectCounts rejects; ///< of the line, since the logger was connected
};

/// Brings the archive everything that the logger holds and the archive does not, with who and what
/// belongs to it. Each block is on the disk before the next is asked for, so that a collection that
/// breaks off has lost nothing and the next one goes on from there. Collecting again adds nothing.
/// `progress` counts slots.
/// Errors: those of Logger and Archive.
Result<CollectReport> collect(Logger& logger, Archive& archive, const Progress& progress = {});

} // namespace quaycell
