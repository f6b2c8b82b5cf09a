// quaycell verify: whether a report still is what it was made from.
#include "evidence/verify.h"

#include "archive/archive.h"
#include "cli/archive_contents.h"
#include "cli/command.h"
#include "cli/evidence_records.h"
#include "cli/files.h"
#include "cli/json_text.h"
#include "evidence/companions.h"

#include <boost/json.hpp>
#include <CLI/CLI.hpp>
#include <fmt/format.h>
#include <iostream>

namespace quaycell {

namespace {

namespace json = boost::json;

struct Options {
    std::string report;
    std::string archive_file;
    bool as_json = false;
};

/// What is in the PDF, and those of its companions that are there.
Result<PdfEvidence> evidence_with_companions(const std::string& report) {
    const auto bytes = read_file(report);
    if (!bytes) return bytes.error();
    auto evidence = evidence_in(*bytes, report);
    if (!evidence) return evidence;
    const auto manifest =
        std::ranges::find(evidence->attachments, manifest_name, &Attachment::name);
    if (manifest == evidence->attachments.end()) return evidence;
    const auto lines = parse_manifest(manifest->bytes);
    if (!lines) return lines.error();
    for (const ManifestLine& line : *lines) {
        if (std::ranges::find(evidence->attachments, line.name, &Attachment::name) !=
            evidence->attachments.end())
            continue;
        if (auto companion = read_file(companion_name(report, line.name)))
            evidence->attachments.push_back({line.name, "", "", std::move(*companion)});
    }
    return evidence;
}

void print(const Verification& verification) {
    std::cout << "evidence number " << verification.number << '\n';
    for (const EvidenceFinding& finding : verification.findings)
        std::cout << fmt::format("{:<10} {:<18} {}\n", finding.agrees ? "agrees" : "DIFFERS",
                                 finding.name, finding.words);
    std::cerr
        << "Compare the number with the one printed on the page. That everything agrees shows "
           "that the file is\nconsistent, not who made it.\n";
}

void print_json(const Verification& verification) {
    json::array findings;
    for (const EvidenceFinding& finding : verification.findings)
        findings.push_back(
            {{"name", finding.name}, {"agrees", finding.agrees}, {"what", finding.words}});
    std::cout << to_document(json::object{{"evidence_number", verification.number},
                                          {"agrees", verification.all_agree()},
                                          {"findings", findings}});
}

Outcome run(const Options& options) {
    const auto evidence = evidence_with_companions(options.report);
    if (!evidence) return evidence.error();
    auto verification = verify_evidence(*evidence, options.report);
    if (!verification) return verification.error();
    if (!options.archive_file.empty()) {
        auto archive = open_to_read(options.archive_file);
        if (!archive) return archive.error();
        auto findings = compare_records(evidence->attachments, *archive);
        if (!findings) return findings.error();
        std::ranges::move(*findings, std::back_inserter(verification->findings));
    }
    options.as_json ? print_json(*verification) : print(*verification);
    if (verification->all_agree()) return Done{};
    return Error{ErrorCode::failed, "the report is not what it was made from", options.report,
                 "What differs is named above. Ask for the file as it was sent first."};
}

} // namespace

void add_verify(CLI::App& program, Action& action) {
    const auto options = std::make_shared<Options>();
    CLI::App* command =
        program.add_subcommand("verify", "Is a report still what it was made from?");
    command->add_option("report", options->report, "PDF that report has written")
        ->type_name("FILE")
        ->required();
    command
        ->add_option("--archive", options->archive_file,
                     "Compare the records with those of this archive, too")
        ->type_name("FILE");
    command->add_flag("--json", options->as_json, "One JSON document");
    command->footer("Exits with 1 when anything differs.\n\n"
                    "Examples:\n"
                    "  quaycell verify tern.pdf\n"
                    "  quaycell verify tern.pdf --archive tern.quaycell");
    command->callback([options, &action] { action = [options] { return run(*options); }; });
}

} // namespace quaycell
