// Files inside a PDF (ISO 32000-1, 7.11.4), by qpdf.
#pragma once

#include "evidence/manifest.h"

#include <optional>

namespace quaycell {

struct PdfEvidence {
    std::vector<Attachment> attachments; ///< by name
    /// What the PDF itself says that the evidence number is; nothing when it says none.
    std::optional<std::string> stated_number;
};

/// The PDF with the attachments and `manifest` inside, and the evidence number among what it says
/// of itself. The list may name more than is attached: what stands beside. The same input gives the
/// same bytes. Error (failed): the PDF cannot be read.
Result<std::string> with_evidence(const std::string& pdf, std::span<const Attachment> attachments,
                                  const std::string& manifest);

/// What with_evidence put there. Error (wrong_input): no PDF, or a damaged one.
Result<PdfEvidence> evidence_in(const std::string& pdf, const std::string& where);

} // namespace quaycell
