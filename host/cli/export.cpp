// quaycell export: a trace as CSV, to work on elsewhere or to import again.
#include "cli/command.h"
#include "cli/files.h"
#include "cli/trace_source.h"
#include "series/trace_csv.h"

#include <CLI/CLI.hpp>
#include <iostream>

namespace quaycell {

namespace {

struct Options {
    TraceOptions trace;
    BoatOptions boat;
    std::string output;
};

Outcome run(const Options& options) {
    auto trace = load_trace(options.trace);
    if (!trace) return trace.error();
    // The hull does not matter for the scale; a boat that nobody named may leave it out.
    BoatOptions boat_options = options.boat;
    if (boat_options.vessel_file.empty() && boat_options.hull.empty())
        boat_options.hull = name_of(Hull::steel);
    const auto boat = boat_from(boat_options, trace->cell_scale);
    if (!boat) return boat.error();
    const auto standard = on_standard_scale(*trace, *boat);
    if (!standard) return standard.error();
    trace->cell_scale = boat->cell_scale;
    const std::string csv = write_trace_csv(*trace, standard->standard_mv);
    if (options.output.empty()) {
        std::cout << csv;
        return Done{};
    }
    const auto written = write_file(options.output, csv);
    if (!written) return written;
    std::cerr << options.output << ": " << trace->time.size() << " readings written\n";
    return Done{};
}

} // namespace

void add_export(CLI::App& program, Action& action) {
    const auto options = std::make_shared<Options>();
    CLI::App* command = program.add_subcommand("export", "Write a trace as CSV");
    add_trace_options(*command, options->trace);
    add_boat_options(*command, options->boat);
    command->add_option("--output", options->output, "File to write; else standard output")
        ->type_name("FILE");
    command->footer(
        "Columns: time and potential_mv as measured against the cell, cell_scale, what\n"
        "else was measured, and standard_mv, the potential on agcl/seawater.\n\n"
        "Example:\n"
        "  quaycell export --archive tern.quaycell --vessel tern.toml --output week.csv");
    command->callback([options, &action] { action = [options] { return run(*options); }; });
}

} // namespace quaycell
