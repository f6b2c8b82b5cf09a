// What is too large to go into a PDF stands beside it.
#pragma once

#include "evidence/manifest.h"

namespace quaycell {

/// So much may go into a report: mail takes no more, and readers of PDFs grow slow.
inline constexpr std::size_t most_attached_bytes = 50'000'000;

struct Carried {
    std::vector<Attachment> inside;
    std::vector<Attachment> beside; ///< companions
};

/// The largest go beside until the rest fits.
Carried carried(std::vector<Attachment> attachments, std::size_t most_bytes = most_attached_bytes);

/// Where the companions of a report stand: "tern.pdf", "tern.pdf-evidence". That of an HTML report
/// of the same name is another one.
std::string evidence_folder(std::string_view report);

/// Where they stood when PDF and HTML shared one: "tern-evidence". Reports of that time last.
std::string former_evidence_folder(std::string_view report);

} // namespace quaycell
