// What was corrected of an archive, and which of it counts.
#pragma once

#include "archive/archive.h"
#include "judging/archive_contents.h"
#include "series/corrections.h"

namespace quaycell {

/// A correction or a withdrawal, as it is kept, with what it means.
struct KnownCorrection {
    CorrectionRow row;
    std::optional<Change> change;            ///< nothing: it is a withdrawal
    std::optional<std::uint32_t> deployment; ///< nothing: the archive does not hold its readings
    std::optional<std::int64_t> withdrawn_by;

    bool stands() const { return change && !withdrawn_by; }
};

/// By number. Error besides those of the archive: damaged, when one means nothing.
Result<std::vector<KnownCorrection>> known_corrections(Archive& archive,
                                                       const std::vector<ArchiveEntry>& entries);

/// Those that stand of one deployment or imported trace.
std::vector<KnownCorrection> standing_of(const std::vector<KnownCorrection>& known,
                                         std::uint32_t deployment);

/// As series/corrections.h takes them.
std::vector<Correction> to_apply(const std::vector<KnownCorrection>& standing);

} // namespace quaycell
