// What was corrected of an archive, and which of it counts.
#pragma once

#include "archive/archive.h"
#include "judging/archive_contents.h"
#include "series/corrections.h"
#include "series/readings.h"

namespace quaycell {

/// When the first and the last reading of a stretch were taken.
struct StretchTimes {
    Instant from;
    Instant to;
    bool operator==(const StretchTimes&) const = default;
};

/// A correction or a withdrawal, as it is kept, with what it means.
struct KnownCorrection {
    CorrectionRow row;
    std::optional<Change> change;            ///< nothing: it is a withdrawal
    std::optional<std::uint32_t> deployment; ///< nothing: the archive does not hold its readings
    std::optional<std::int64_t> withdrawn_by;
    /// Its stretch by the clock that is read now, where that is not the one it was written by:
    /// times were moved since, or are no longer.
    std::optional<StretchTimes> now = {};

    bool stands() const { return change && !withdrawn_by; }
};

/// By number. Error besides those of the archive: damaged, when one means nothing.
Result<std::vector<KnownCorrection>> known_corrections(Archive& archive,
                                                       const std::vector<ArchiveEntry>& entries);

/// Finds out what `now` says of those of one deployment or imported trace, whose readings are
/// `recorded`. All that stand of it have to be among them.
void tell_by_present_clock(std::vector<KnownCorrection>& corrections, std::uint32_t deployment,
                           const Readings& recorded);

/// Those that stand of one deployment or imported trace.
std::vector<KnownCorrection> standing_of(const std::vector<KnownCorrection>& known,
                                         std::uint32_t deployment);

/// As series/corrections.h takes them.
std::vector<Correction> to_apply(const std::vector<KnownCorrection>& standing);

} // namespace quaycell
