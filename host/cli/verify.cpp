// quaycell verify: whether a report still is what it was made from.
#include "evidence/verify.h"

#include "archive/archive.h"
#include "chart/text.h"
#include "cli/command.h"
#include "dossier/archive_comparison.h"
#include "dossier/compute_again.h"
#include "dossier/key_files.h"
#include "dossier/report_files.h"
#include "dossier/report_making.h"
#include "evidence/companions.h"
#include "evidence/signed_list.h"
#include "judging/archive_contents.h"
#include "judging/files.h"
#include "judging/json_text.h"
#include "report/html.h"

#include <algorithm>
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
    std::string key_file;
    bool as_json = false;
};

/// Records may be too many to be held; all else is read whole anyway.
Result<FileBytes> companion_in(const std::filesystem::path& path) {
    std::error_code failure;
    if (path.filename().string().starts_with(records_name) &&
        std::filesystem::is_regular_file(path, failure))
        return FileBytes::in(path);
    auto bytes = read_file(path);
    if (!bytes) return bytes.error();
    return FileBytes(std::move(*bytes));
}

/// Where what is not in the report stands beside it.
std::string folder_of(const std::string& report) {
    std::error_code failure;
    const std::string own = evidence_folder(report), former = former_evidence_folder(report);
    const bool is_former =
        !std::filesystem::exists(own, failure) && std::filesystem::exists(former, failure);
    return is_former ? former : own;
}

/// The files of the list that are not in the report.
Result<Done> add_companions(const std::string& folder, PdfEvidence& evidence) {
    const Attachment* const manifest = named(evidence.attachments, manifest_name);
    if (manifest == nullptr) return Done{};
    const auto lines = parse_manifest(manifest->bytes.at_hand());
    if (!lines) return lines.error();
    for (const ManifestLine& line : *lines) {
        if (named(evidence.attachments, line.name) != nullptr) continue;
        if (auto companion = companion_in(folder + '/' + line.name))
            evidence.attachments.push_back(described(line.name, std::move(*companion)));
    }
    return Done{};
}

/// A PDF carries list and signature; those of an HTML report stand in its folder.
Result<PdfEvidence> evidence_of(const std::string& report, const std::string& folder,
                                const std::string& bytes) {
    if (format_of_bytes(bytes) == ReportFormat::pdf) return evidence_in(bytes, report);
    auto number = evidence_number_in_html(bytes);
    if (!number)
        return Error{ErrorCode::wrong_input, "this is no report, neither PDF nor HTML", report,
                     "Only what `quaycell report` has written can be verified."};
    const std::string list = folder + '/' + manifest_name;
    auto manifest = read_file(list);
    if (!manifest)
        return Error{ErrorCode::wrong_input, "the evidence of this page is missing", list,
                     "It stands in the folder that was written beside the page."};
    PdfEvidence evidence;
    evidence.stated_number = std::move(number);
    evidence.attachments.push_back({manifest_name, "", "", std::move(*manifest)});
    if (auto signature = read_file(folder + '/' + signature_name))
        evidence.attachments.push_back(described(signature_name, std::move(*signature)));
    return evidence;
}

const char* word_for(Agreement agreement) {
    switch (agreement) {
    case Agreement::agrees:
        return "agrees";
    case Agreement::differs:
        return "DIFFERS";
    case Agreement::not_compared:
        break;
    }
    return "not compared";
}

json::value json_of(Agreement agreement) {
    if (agreement == Agreement::not_compared) return nullptr;
    return agreement == Agreement::agrees;
}

void print(const Verification& verification, bool key_given) {
    std::cout << "evidence number " << verification.number << '\n';
    for (const EvidenceFinding& finding : verification.findings)
        std::cout << fmt::format("{:<12} {:<30} {}\n", word_for(finding.agreement),
                                 clean_text(finding.name), clean_text(finding.words));
    const auto count = [&](Agreement agreement) {
        return std::ranges::count(verification.findings, agreement, &EvidenceFinding::agreement);
    };
    std::cerr << fmt::format("{} compared and agree, {} differ, {} could not be compared.",
                             count(Agreement::agrees), count(Agreement::differs),
                             count(Agreement::not_compared));
    if (verification.overall() == Agreement::not_compared) {
        std::cerr << " Not compared:";
        for (const EvidenceFinding& finding : verification.findings)
            if (finding.agreement == Agreement::not_compared)
                std::cerr << ' ' << clean_text(finding.name) << ';';
        std::cerr << " the rest is what it was.";
    }
    std::cerr << "\nCompare the number with the one printed on the page.";
    if (verification.overall() == Agreement::agrees)
        std::cerr
            << " That everything agrees shows that the report follows\nfrom the files that go "
               "with it"
            << (key_given ? "." : "; who made it, only a signature shows (--key).");
    std::cerr << '\n';
}

void print_json(const Verification& verification) {
    json::array findings;
    for (const EvidenceFinding& finding : verification.findings)
        findings.push_back({{"name", finding.name},
                            {"agrees", json_of(finding.agreement)},
                            {"what", finding.words}});
    std::cout << to_document(json::object{{"evidence_number", verification.number},
                                          {"agrees", json_of(verification.overall())},
                                          {"findings", findings}});
}

Result<std::optional<PublicKey>> wanted_key(const std::string& file) {
    if (file.empty()) return std::optional<PublicKey>();
    const auto key = read_public_key(file);
    if (!key) return key.error();
    return std::optional(*key);
}

/// Nothing where no archive is named.
Result<std::vector<EvidenceFinding>> compared_with(const std::string& archive_file,
                                                   const PdfEvidence& evidence) {
    if (archive_file.empty()) return std::vector<EvidenceFinding>();
    auto archive = read_archive(archive_file);
    if (!archive) return archive.error();
    return compare_with_archive(evidence.attachments, *archive);
}

Outcome run(const Options& options) {
    const auto key = wanted_key(options.key_file);
    if (!key) return key.error();
    const auto bytes = read_file(options.report);
    if (!bytes) return bytes.error();
    const std::string folder = folder_of(options.report);
    auto evidence = evidence_of(options.report, folder, *bytes);
    if (!evidence) return evidence.error();
    if (const auto added = add_companions(folder, *evidence); !added) return added;
    auto verification = verify_evidence(*evidence, options.report);
    if (!verification) return verification.error();
    if (auto finding = signature_finding(*evidence, *key))
        verification->findings.push_back(std::move(*finding));
    // Before all is computed again, which takes as much memory as the archive, gone by then.
    const auto of_archive = compared_with(options.archive_file, *evidence);
    if (!of_archive) return of_archive.error();
    std::ranges::move(compute_again(*bytes, *evidence), std::back_inserter(verification->findings));
    std::ranges::copy(*of_archive, std::back_inserter(verification->findings));
    options.as_json ? print_json(*verification) : print(*verification, !options.key_file.empty());
    const Agreement overall = verification->overall();
    if (overall == Agreement::agrees) return Done{};
    if (overall == Agreement::not_compared)
        return Error{ErrorCode::failed,
                     "nothing differs, but not everything could be compared here", options.report,
                     "What could not is named above, with the reason: it may have been changed all "
                     "the same. Where another version made the report, verify it with that one."};
    if (std::ranges::all_of(verification->findings, [](const EvidenceFinding& finding) {
            return finding.agreement == Agreement::agrees || finding.name == signature_name;
        }))
        return Error{ErrorCode::failed, "the report is consistent, but not signed as it should be",
                     options.report, "What its signature lacks is named above."};
    if (std::ranges::all_of(verification->findings, [](const EvidenceFinding& finding) {
            return finding.agreement != Agreement::differs || finding.name.ends_with(", archive");
        }))
        return Error{ErrorCode::failed, "the archive holds something else than the report",
                     options.archive_file,
                     "What differs is named above. One of the two was changed since, or it is "
                     "another archive."};
    return Error{ErrorCode::failed, "the report is not what it was made from", options.report,
                 "What differs is named above. Ask for the file as it was sent first."};
}

} // namespace

void add_verify(CLI::App& program, Action& action) {
    const auto options = std::make_shared<Options>();
    CLI::App* command =
        program.add_subcommand("verify", "Is a report still what it was made from?");
    command->add_option("report", options->report, "PDF or HTML file that report has written")
        ->type_name("FILE")
        ->required();
    command
        ->add_option("--archive", options->archive_file,
                     "Compare all that the report took from this archive with it, too")
        ->type_name("FILE");
    command
        ->add_option("--key", options->key_file,
                     "The public key (.pub) of who should have signed the report")
        ->type_name("FILE");
    command->add_flag("--json", options->as_json, "One JSON document");
    command->footer(
        "Every digest is computed anew; then the whole report is, from the records and files\n"
        "that go with it, and compared with what it states. Exits with 1 when anything\n"
        "differs or could not be compared.\n\n"
        "A report that agrees with itself may still be somebody else's. --key tells whether the\n"
        "holder of the secret key to that public key signed it: take the public key from the\n"
        "signer, not from the report. A signature does not tell when it was made, nor whether\n"
        "what was signed is true.\n\n"
        "Examples:\n"
        "  quaycell verify tern.pdf\n"
        "  quaycell verify tern.pdf --key ann.key.pub\n"
        "  quaycell verify tern.pdf --archive tern.quaycell");
    command->callback([options, &action] { action = [options] { return run(*options); }; });
}

} // namespace quaycell
