// A report against the archive that it was made from: all that it took from there.
#pragma once

#include "evidence/verify.h"

#include <span>
#include <vector>

namespace quaycell {

struct ReadArchive;

/// A finding for each kind of thing that a report takes from an archive: records, imported traces,
/// loggers, corrections, comparisons of the cell, notes, the survey, the log of
/// the anodes; the first difference is named.
/// What the report holds has to be in the archive as it is there. What the archive holds besides
/// differs where it belongs between what the report has, or would change it (corrections); later
/// records, and other notes and comparisons, are counted. Errors are those of the archive.
Result<std::vector<EvidenceFinding>> compare_with_archive(std::span<const Attachment> attachments,
                                                          ReadArchive& read);

} // namespace quaycell
