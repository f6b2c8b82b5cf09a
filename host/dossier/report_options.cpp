#include "dossier/report_options.h"

#include "dossier/report_files.h"
#include "judging/options.h"
#include "report/pages.h"

#include <algorithm>
#include <CLI/CLI.hpp>

namespace quaycell {

namespace {

/// Files, which go along as they are; and what only concerns this run.
constexpr std::string_view not_carried[] = {
    "--help",   "--trace",    "--archive", "--deployment", "--uncorrected",
    "--vessel", "--criteria", "--budget",  "--inspection", "--new-inspection",
    "--output", "--sign",     "--new-key", "--replace"};

bool is_carried(std::string_view name) {
    return std::ranges::find(not_carried, name) == std::end(not_carried);
}

} // namespace

ReportOptions::ReportOptions() : paper(a4.name), worst_share_percent(default_worst_share * 100) {}

std::vector<std::pair<const char*, GivenFile*>> files_by_hand(ReportOptions& options) {
    return {{vessel_name, &options.boat.vessel_file},
            {criteria_name, &options.boat.criteria_file},
            {budget_name, &options.boat.budget_file},
            {inspection_name, &options.inspection_file}};
}

void add_report_options(CLI::App& command, ReportOptions& options) {
    add_trace_options(command, options.trace);
    add_boat_options(command, options.boat);
    add_worst_share_option(command, options.worst_share_percent);
    add_figure_options(command, options.figure);
    add_survey_option(command, options.survey,
                      "A report of this survey of the archive alone, by number; else of a trace, "
                      "with the boat's newest finished survey");
    command
        .add_option("--haul-out", options.haul_out,
                    "The next one planned: which of the archive's anodes last until then")
        ->type_name("DATE");
    command
        .add_option("--inspection", options.inspection_file.path,
                    "What only you know: who, for whom, where the cell hung")
        ->type_name("FILE");
    command.add_flag("--new-inspection", options.print_new_inspection,
                     "Only print a file for --inspection to start from");
    command
        .add_option("--sign", options.key_file,
                    "Sign the list of the files that go with the report with this secret key")
        ->type_name("KEY");
    command
        .add_option("--new-key", options.new_key_file,
                    "Only make a key to sign with: FILE, and FILE.pub for those who verify")
        ->type_name("FILE");
    command.add_option("--output", options.output, "File to write, .pdf or .html")
        ->type_name("FILE");
    command.add_flag("--replace", options.replace,
                     "Write over a report of that name, which may be signed and is then lost");
    command.add_option("--paper", options.paper, "Of the PDF")
        ->type_name("")
        ->check(CLI::IsMember({std::string(a4.name), std::string(letter.name)}))
        ->capture_default_str();
}

std::vector<std::string> said_options(const CLI::App& command) {
    std::vector<std::string> said;
    for (const CLI::Option* option : command.get_options())
        if (option->count() > 0 && is_carried(option->get_name()))
            for (const std::string& value : option->results())
                if (!value.empty()) // which says no more than nothing does
                    said.push_back(option->get_name() + '=' + value);
    return said;
}

Result<ReportOptions> parse_said_options(const std::vector<std::string>& said,
                                         const std::string& where) {
    const auto refusal = [&](const std::string& what) {
        return Error{ErrorCode::wrong_input,
                     "the report was not made with options of this program: " + what, where,
                     "It was changed, or a newer program made it."};
    };
    ReportOptions options;
    CLI::App command;
    add_report_options(command, options);
    for (const std::string& each : said) {
        const std::string name = each.substr(0, each.find('='));
        if (!is_carried(name) || command.get_option_no_throw(name) == nullptr) return refusal(each);
    }
    try {
        command.parse(
            std::vector<std::string>(said.rbegin(), said.rend())); // it takes the last first
    } catch (const CLI::ParseError& error) {
        return refusal(error.what());
    }
    return options;
}

} // namespace quaycell
