// quaycell report: the page that a surveyor can sign, as PDF or HTML.
#include "dossier/report_making.h"

#include "cli/command.h"
#include "dossier/evidence_beside.h"
#include "dossier/key_files.h"
#include "evidence/companions.h"
#include "judging/files.h"
#include "report/inspection.h"

#include <algorithm>
#include <CLI/CLI.hpp>
#include <fmt/format.h>
#include <iostream>

namespace quaycell {

namespace {

Result<std::optional<SecretKey>> key_to_sign_with(const std::string& file) {
    if (file.empty()) return std::optional<SecretKey>();
    auto key = read_secret_key(file);
    if (!key) return key.error();
    return std::optional(std::move(*key));
}

Outcome make_keys(const std::string& file) {
    const auto key = make_key_files(file);
    if (!key) return key.error();
    std::cerr << fmt::format(
        "{0}: secret; whoever has it signs in your name, and there is no second copy\n"
        "{0}.pub: hand this to those who verify, by a way that does not pass through the report\n"
        "fingerprint {1}\n",
        file, fingerprint(*key));
    return Done{};
}

std::vector<std::string> inputs_of(ReportOptions& options) {
    std::vector<std::string> inputs = {options.trace.trace_file, options.trace.archive_file,
                                       options.key_file};
    for (const auto& [name, file] : files_by_hand(options))
        inputs.push_back(file->path);
    return inputs;
}

Outcome run(ReportOptions& options, const std::vector<std::string>& said) {
    if (options.print_new_inspection) {
        std::cout << new_inspection_file();
        return Done{};
    }
    if (!options.new_key_file.empty()) return make_keys(options.new_key_file);
    const auto format = format_of_report(options.output);
    if (!format) return format.error();
    const std::vector<std::string> inputs = inputs_of(options);
    if (std::ranges::count(inputs, "-") > 1)
        return Error{ErrorCode::wrong_usage, "standard input can be only one of the files", "-",
                     "Name the others."};
    if (auto error = would_destroy(options.output, inputs)) return *error;
    const auto key = key_to_sign_with(options.key_file);
    if (!key) return key.error();
    const auto signer = *key ? std::optional(public_key_of(**key)) : std::nullopt;
    const auto sources = sources_of(options, said, signer);
    if (!sources) return sources.error();
    const auto made = make_report(options, *format, *sources);
    if (!made) return made.error();
    const std::string signature = *key ? signature_of(made->manifest, **key) : "";
    const auto report = packed(*made, *format, signature);
    if (!report) return report.error();
    if (!options.replace)
        if (auto error = would_replace(options.output, report->bytes, report->beside))
            return *error;
    for (const std::filesystem::path& part : clear_left_parts(options.output))
        std::cerr << part.string() << ": left by a run that was broken off; removed\n";
    if (auto error = would_destroy_beside(options.output, report->beside, inputs)) return *error;
    if (const auto written = write_beside(options.output, report->beside); !written) return written;
    if (!report->beside.empty())
        std::cerr << fmt::format("{}/: {} files that go with the report\n",
                                 evidence_folder(options.output), report->beside.size());
    if (const auto written = write_file(options.output, report->bytes); !written) return written;
    std::cerr << fmt::format("{}: {} readings, the hull {}\n", options.output, made->readings,
                             name_of(made->overall));
    return Done{};
}

} // namespace

void add_report(CLI::App& program, Action& action) {
    const auto options = std::make_shared<ReportOptions>();
    CLI::App* command =
        program.add_subcommand("report", "A report of a trace or a survey, to sign: PDF or HTML");
    add_report_options(*command, *options);
    command->footer(
        "Examples:\n"
        "  quaycell report --new-inspection > visit.toml\n"
        "  quaycell report --archive tern.quaycell --vessel tern.toml --inspection visit.toml "
        "--output tern.pdf\n"
        "  quaycell verify tern.pdf\n"
        "  quaycell report --archive tern.quaycell --vessel tern.toml --survey 3 "
        "--output survey.pdf\n"
        "  quaycell report --new-key ann.key\n"
        "  quaycell report --archive tern.quaycell --vessel tern.toml --sign ann.key "
        "--output tern.pdf\n"
        "  quaycell report --trace week.csv --hull steel --output week.html");
    command->callback([options, command, &action] {
        action = [options, command] { return run(*options, said_options(*command)); };
    });
}

} // namespace quaycell
