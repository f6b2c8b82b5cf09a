// The records that a report carries, against an archive.
#pragma once

#include "archive/archive.h"
#include "evidence/verify.h"

#include <span>

namespace quaycell {

/// For each attachment of records, whether the archive holds every one of them, byte for byte; else
/// the first that it does not. Records are told by themselves: boot, number and checksum.
Result<std::vector<EvidenceFinding>> compare_records(std::span<const Attachment> attachments,
                                                     Archive& archive);

} // namespace quaycell
