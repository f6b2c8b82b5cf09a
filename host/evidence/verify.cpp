#include "evidence/verify.h"

#include <algorithm>

namespace quaycell {

namespace {

EvidenceFinding finding_of(const ManifestLine& line, const Attachment* attachment) {
    if (attachment == nullptr) return {line.name, Agreement::differs, "is missing from the file"};
    if (attachment->bytes.sha256() != line.sha256)
        return {line.name, Agreement::differs,
                "was changed: its SHA-256 is not the one in the list"};
    return {line.name, Agreement::agrees, "SHA-256 " + line.sha256};
}

EvidenceFinding finding_of_list(const std::optional<std::string>& stated,
                                const std::string& number) {
    if (!stated)
        return {manifest_name, Agreement::differs, "the file does not say what its number is"};
    if (*stated != number)
        return {manifest_name, Agreement::differs,
                "was changed: its number is not the one that the file states"};
    return {manifest_name, Agreement::agrees, "number " + number};
}

} // namespace

Agreement Verification::overall() const {
    const auto any = [this](Agreement agreement) {
        return std::ranges::find(findings, agreement, &EvidenceFinding::agreement) !=
               findings.end();
    };
    if (any(Agreement::differs)) return Agreement::differs;
    return any(Agreement::not_compared) ? Agreement::not_compared : Agreement::agrees;
}

Result<Verification> verify_evidence(const PdfEvidence& evidence, const std::string& where) {
    const Attachment* const manifest = named(evidence.attachments, manifest_name);
    if (manifest == nullptr)
        return Error{ErrorCode::wrong_input, "this PDF carries no evidence", where,
                     "Only what `quaycell report` has written can be verified."};
    const auto lines = parse_manifest(manifest->bytes.at_hand());
    if (!lines) return lines.error();
    Verification verification{manifest->bytes.sha256(), {}};
    verification.findings.push_back(finding_of_list(evidence.stated_number, verification.number));
    for (const ManifestLine& line : *lines)
        verification.findings.push_back(finding_of(line, named(evidence.attachments, line.name)));
    for (const Attachment& each : evidence.attachments)
        if (each.name != manifest_name && each.name != signature_name &&
            std::ranges::find(*lines, each.name, &ManifestLine::name) == lines->end())
            verification.findings.push_back({each.name, Agreement::differs, "is not in the list"});
    return verification;
}

} // namespace quaycell
