// quaycell import: a trace CSV into an archive.
#include "archive/archive.h"
#include "cli/command.h"
#include "cli/files.h"
#include "cli/options.h"
#include "series/trace_csv.h"

#include <chrono>
#include <CLI/CLI.hpp>
#include <filesystem>
#include <iostream>

namespace quaycell {

namespace {

struct Options {
    std::string file;
    std::string archive;
    std::string scale;
    std::string vessel_file;
};

/// The scale of the readings: named by the command line, the file itself or the vessel file, in
/// this order. A potential without one means nothing, so there is no default.
Result<Scale> scale_of(const Options& options, const Trace& trace) {
    if (!options.scale.empty()) return scale_named(options.scale);
    if (trace.cell_scale) return *trace.cell_scale;
    if (!options.vessel_file.empty()) {
        const auto vessel = load_vessel(options.vessel_file);
        if (!vessel) return vessel.error();
        if (vessel->cell.scale) return *vessel->cell.scale;
    }
    return Error{ErrorCode::wrong_input, "nobody says what scale these potentials are on",
                 options.file,
                 "Give --scale, for instance agcl/open; or a cell_scale column; or --vessel with a "
                 "file that has [cell] scale."};
}

Outcome run(const Options& options) {
    const auto text = read_file(options.file);
    if (!text) return text.error();
    auto trace = read_trace_csv(*text, options.file);
    if (!trace) return trace.error();
    if (trace->time.empty())
        return Error{ErrorCode::wrong_input, "the trace holds no reading", options.file, ""};
    const auto scale = scale_of(options, *trace);
    if (!scale) return scale.error();
    trace->cell_scale = *scale;

    auto archive = Archive::open(options.archive, OpenMode::write_create);
    if (!archive) return archive.error();
    const auto added = archive->put_imported(
        std::filesystem::path(options.file).filename().string(), trace->time.front(),
        trace->time.size(), write_trace_csv(*trace, {}),
        std::chrono::time_point_cast<Milliseconds>(std::chrono::system_clock::now()));
    if (!added) return added.error();
    std::cerr << options.archive << ": " << (*added ? "holds " : "held already the ")
              << trace->time.size() << " readings of " << options.file << '\n';
    return Done{};
}

} // namespace

void add_import(CLI::App& program, Action& action) {
    const auto options = std::make_shared<Options>();
    CLI::App* command = program.add_subcommand("import", "Bring a trace CSV into an archive");
    command->add_option("file", options->file, "The CSV file")->type_name("")->required();
    command->add_option("--archive", options->archive, "Archive file; begun if it is not there")
        ->type_name("FILE")
        ->required();
    command->add_option("--scale", options->scale, "Scale of the cell")->type_name("SCALE");
    command->add_option("--vessel", options->vessel_file, "Vessel file that names the scale")
        ->type_name("FILE");
    command->footer("The file: RFC 4180 with a header; time (RFC 3339, with Z or an offset) and\n"
                    "potential_mv, and if known cell_scale, cell_b_mv, ac_mv, temperature_c,\n"
                    "salinity_psu, source_ohm, battery_mv, quality. An empty field is missing.\n\n"
                    "Example:\n"
                    "  quaycell import week.csv --archive tern.quaycell --scale agcl/open");
    command->callback([options, &action] { action = [options] { return run(*options); }; });
}

} // namespace quaycell
