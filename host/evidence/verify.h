// Whether what a report carries is what its page was made from.
#pragma once

#include "evidence/pdf_attachments.h"

namespace quaycell {

enum class Agreement {
    agrees,
    differs,
    not_compared, ///< it cannot be told here
};

struct EvidenceFinding {
    std::string name; ///< of the attachment, or of the list
    Agreement agreement;
    std::string words; ///< what was found
};

struct Verification {
    std::string number; ///< to be compared with the one printed on the page
    std::vector<EvidenceFinding> findings;

    /// Differs where anything does; agrees where everything was compared and does.
    Agreement overall() const;
};

/// Computes every digest anew. That all agree shows that the file is consistent, not who made it.
/// Error (wrong_input): it carries no evidence at all, or its list cannot be read.
Result<Verification> verify_evidence(const PdfEvidence& evidence, const std::string& where);

} // namespace quaycell
