#include "report/report_parts.h"

#include <fmt/format.h>

namespace quaycell {

Section evidence_section(const ReportFacts& facts) {
    Section section{"Evidence", {}};
    section.blocks.emplace_back(Paragraph{"Evidence number: " + evidence_number(facts.manifest)});
    if (!facts.signer.empty())
        section.blocks.emplace_back(Paragraph{fmt::format(
            "The list of these files is signed (Ed25519) with the key of fingerprint {}. The "
            "command quaycell verify --key tells whether the key that the signer handed over did "
            "it. It proves that whoever holds the secret key signed these files, not that what "
            "they say is true "
            "nor when it was signed.",
            facts.signer)});
    section.blocks.emplace_back(Paragraph{fmt::format(
        "The files are attached to the PDF; what is too large for that, and all that belongs to an "
        "HTML page, stands in a folder beside it. The number is the SHA-256 of their list, {}. The "
        "command quaycell verify makes the whole report anew from them. That everything agrees "
        "shows that the report follows from these files, not who made it. The time at which a PDF "
        "says that it was made is {}: the same input gives the same bytes.",
        manifest_name, facts.dated_by)});
    Table table{
        "What this report was made from",
        {{"File", 0.2}, {"Bytes", 0.14, Anchor::end}, {"What it is, and its SHA-256", 0.66}},
        {}};
    const std::vector<ManifestLine> lines = parse_manifest(facts.manifest).value();
    for (std::size_t i = 0; i < lines.size(); ++i) {
        const Attachment& file = facts.attachments[i];
        table.rows.push_back({file.name, std::to_string(file.bytes.size()),
                              fmt::format("{} {}", file.description, lines[i].sha256)});
    }
    section.blocks.emplace_back(std::move(table));
    if (!facts.left_out.empty()) section.blocks.emplace_back(Paragraph{facts.left_out});
    return section;
}

} // namespace quaycell
