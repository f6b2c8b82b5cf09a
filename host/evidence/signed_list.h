// Whether the list of a report's files was signed, and by the key that was asked for.
#pragma once

#include "evidence/signature.h"
#include "evidence/verify.h"

#include <optional>

namespace quaycell {

/// One finding, named signature_name; none where nothing is signed and nobody asked for it.
/// `wanted`: the key that has to have signed; without one any key agrees, and is named.
std::optional<EvidenceFinding> signature_finding(const PdfEvidence& evidence,
                                                 const std::optional<PublicKey>& wanted);

} // namespace quaycell
