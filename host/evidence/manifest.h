// The list that ties attachments to the page they belong to.
#pragma once

#include "evidence/file_bytes.h"

#include <cstdint>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace quaycell {

/// A file that goes with a report.
struct Attachment {
    std::string name; ///< without folder, spaces or line ends
    std::string media_type;
    std::string description; ///< in words
    FileBytes bytes;
};

/// What the list itself is called among the attachments.
inline constexpr const char* manifest_name = "SHA256SUMS";
/// The public key of who signed the list: in it, so that the page can name it.
inline constexpr const char* signer_name = "signer.pub";
/// 64 bytes over the list; beside it, because nothing can list its own signature.
inline constexpr const char* signature_name = "SHA256SUMS.sig";

/// The attachment of that name, or null.
const Attachment* named(std::span<const Attachment> attachments, std::string_view name);

/// A line for each, in their order: digest, two spaces, name; what `sha256sum --check` reads.
std::string manifest_of(std::span<const Attachment> attachments);

struct ManifestLine {
    std::string sha256;
    std::string name;
};

/// Reads what manifest_of writes. Error (wrong_input): another text, or one name twice.
Result<std::vector<ManifestLine>> parse_manifest(std::string_view text);

/// The digest of the list: one number that stands for all attachments.
std::string evidence_number(std::string_view manifest);

} // namespace quaycell
