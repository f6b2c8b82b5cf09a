// A report made once more from what it carries, held against what it states.
#pragma once

#include "evidence/verify.h"

#include <string>
#include <vector>

namespace quaycell {

/// Reads records and files again, judges, draws, and compares trace, judgement and the whole file
/// with what is there; of trace and judgement, the first difference is told. A file that other
/// drawing libraries or fonts made cannot be compared byte for byte, and what another version of
/// the program made may come out otherwise: that is said, and then nothing is said to differ.
std::vector<EvidenceFinding> compute_again(const std::string& bytes, const PdfEvidence& evidence);

} // namespace quaycell
