#include "evidence/signed_list.h"

namespace quaycell {

namespace {

EvidenceFinding differs(std::string words) {
    return {signature_name, Agreement::differs, std::move(words)};
}

} // namespace

std::optional<EvidenceFinding> signature_finding(const PdfEvidence& evidence,
                                                 const std::optional<PublicKey>& wanted) {
    const Attachment* const signature = named(evidence.attachments, signature_name);
    const Attachment* const signer = named(evidence.attachments, signer_name);
    const Attachment* const manifest = named(evidence.attachments, manifest_name);
    if (signature == nullptr && signer == nullptr)
        return wanted ? std::optional(differs("is missing: nobody signed this report"))
                      : std::nullopt;
    if (signature == nullptr) return differs("is missing, though the report names who signed it");
    if (signer == nullptr || manifest == nullptr)
        return differs("belongs to no key that the report names");
    const auto key = parse_public_key(signer->bytes.at_hand(), signer_name);
    if (!key)
        return differs("cannot be checked: the key in " + std::string(signer_name) + " is none");
    if (!is_signature_of(manifest->bytes.at_hand(), signature->bytes.at_hand(), *key))
        return differs("does not belong to this list of files and the key that the report names");
    if (wanted && !(*wanted == *key))
        return differs("was made with another key, fingerprint " + fingerprint(*key));
    return EvidenceFinding{signature_name, Agreement::agrees,
                           wanted ? "was made with the key that you gave"
                                  : "was made with the key of fingerprint " + fingerprint(*key)};
}

} // namespace quaycell
