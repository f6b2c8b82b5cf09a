// quaycell export: a trace as CSV, to work on elsewhere or to import again; or a survey.
#include "cli/command.h"
#include "judging/archive_contents.h"
#include "judging/files.h"
#include "judging/json_text.h"
#include "judging/options.h"
#include "judging/survey_csv.h"
#include "judging/trace_json.h"
#include "judging/trace_source.h"
#include "series/trace_csv.h"

#include <algorithm>
#include <boost/json.hpp>
#include <CLI/CLI.hpp>
#include <iostream>
#include <iterator>

namespace quaycell {

namespace {

struct Options {
    TraceOptions trace;
    BoatOptions boat;
    std::string output;
    std::int64_t survey = 0; ///< its number; 0: a trace
    bool as_json = false;
};

Outcome put(const Options& options, const std::string& text, const std::string& what) {
    if (options.output.empty() || options.output == "-") {
        std::cout << text;
        return Done{};
    }
    const auto written = write_file(options.output, text);
    if (written) std::cerr << options.output << ": " << what << " written\n";
    return written;
}

/// A survey in a boat that its readings are judged for.
Outcome export_survey(const Options& options) {
    if (options.trace.archive_file.empty())
        return Error{ErrorCode::wrong_usage, "surveys are kept in archives", "--survey",
                     "Give --archive FILE."};
    auto archive = open_to_read(options.trace.archive_file);
    if (!archive) return archive.error();
    auto kept = load_survey(*archive, options.survey, options.trace.archive_file);
    if (!kept) return kept.error();
    const auto checks = archive->cell_checks();
    if (!checks) return checks.error();
    const auto judged = judge_survey(std::move(kept).value(), options.boat, *checks);
    if (!judged) return judged.error();
    return put(options, options.as_json ? to_document(survey_json(*judged)) : survey_csv(*judged),
               "survey " + std::to_string(options.survey));
}

Outcome run(const Options& options) {
    if (auto error =
            would_destroy(options.output, {options.trace.trace_file, options.trace.archive_file,
                                           options.boat.vessel_file.path}))
        return *error;
    if (options.survey != 0) return export_survey(options);
    auto sourced = load_trace(options.trace);
    if (!sourced) return sourced.error();
    // The hull does not matter for the scale; a boat that nobody named may leave it out.
    BoatOptions boat_options = options.boat;
    if (!boat_options.vessel_file.is_given() && boat_options.hull.empty())
        boat_options.hull = name_of(Hull::steel);
    const auto boat = boat_of_trace(sourced->trace, boat_options);
    if (!boat) return boat.error();
    const StandardTrace standard = on_standard_scale(sourced->trace, *boat, options.boat.water);
    Trace trace = whole_trace(sourced->trace);
    // An assumption must not come back as a fact when the file is read again.
    if (!boat->cell_scale_assumed) trace.cell_scale = boat->cell_scale;
    std::vector<double> standard_mv;
    for (std::size_t row = 0; row < trace.time.size(); ++row)
        standard_mv.push_back(standard.standard_mv[row].less_negative_mv());
    for (const std::string& assumption : boat->water.assumed)
        std::cerr << "assumed for standard_mv: " << assumption << '\n';
    for (const std::string& remark : sourced->remarks)
        std::cerr << remark << '\n';
    for (const std::string& reason : standard.reasons())
        std::cerr << reason << '\n';
    const std::string text =
        options.as_json ? trace_json(trace, standard_mv, boat->water.assumed, sourced->remarks)
                        : write_trace_csv(trace, standard_mv);
    return put(options, text, std::to_string(trace.time.size()) + " readings");
}

} // namespace

void add_export(CLI::App& program, Action& action) {
    const auto options = std::make_shared<Options>();
    CLI::App* command = program.add_subcommand("export", "Write a trace as CSV or JSON");
    add_trace_options(*command, options->trace);
    add_boat_options(*command, options->boat);
    command->add_option("--output", options->output, "File to write; else standard output")
        ->type_name("FILE");
    add_survey_option(*command, options->survey,
                      "That survey of the archive in place of a trace: a row an entry");
    command->add_flag("--json", options->as_json,
                      "One JSON document with the same in place of CSV");
    command->footer(
        "Columns: time and potential_mv as measured against the cell, cell_scale, what\n"
        "else was measured, and standard_mv, the potential on agcl/seawater.\n\n"
        "Numbers, times and words of this program only: nothing that a spreadsheet would take for "
        "a\n"
        "formula, whatever names and notes hold.\n\n"
        "Examples:\n"
        "  quaycell export --archive tern.quaycell --vessel tern.toml --output week.csv\n"
        "  quaycell export --archive tern.quaycell --vessel tern.toml --json\n"
        "  quaycell export --archive tern.quaycell --vessel tern.toml --survey 1 --output "
        "survey.csv");
    command->callback([options, &action] { action = [options] { return run(*options); }; });
}

} // namespace quaycell
