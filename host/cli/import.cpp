// quaycell import: a trace CSV, or a copy of a logger's flash, into an archive.
#include "cli/collect_report.h"
#include "cli/command.h"
#include "cli/logger_port.h"
#include "collect/flash_image.h"
#include "judging/archive_contents.h"
#include "judging/device_name.h"
#include "judging/files.h"
#include "judging/options.h"
#include "series/trace_csv.h"

#include <chrono>
#include <CLI/CLI.hpp>
#include <filesystem>
#include <fmt/format.h>
#include <iostream>

namespace quaycell {

namespace {

struct Options {
    std::string file;
    std::string archive;
    std::string scale;
    std::string vessel_file;
    std::string like; ///< number of a logger of the same build
    bool is_flash = false;
};

Instant now() {
    return std::chrono::floor<Milliseconds>(std::chrono::system_clock::now());
}

/// The scale of the readings: named by the command line, the file itself or the vessel file, in
/// this order. A potential without one means nothing, so there is no default.
Result<Scale> scale_of(const Options& options, const Trace& trace) {
    if (!options.scale.empty()) return scale_named(options.scale);
    if (trace.cell_scale) return *trace.cell_scale;
    if (!options.vessel_file.empty()) {
        const auto vessel = load_vessel(GivenFile{options.vessel_file, {}});
        if (!vessel) return vessel.error();
        if (vessel->cell.scale) return *vessel->cell.scale;
    }
    return Error{ErrorCode::wrong_input, "nobody says what scale these potentials are on",
                 options.file,
                 "Give --scale, for instance agcl/open; or a cell_scale column; or --vessel with a "
                 "file that has [cell] scale."};
}

Outcome import_trace(const Options& options) {
    auto text = read_file(options.file);
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
    write_trace_csv(*trace, {},
                    *text); // in the room of what was read, which is not needed any more
    const auto added =
        archive->put_imported(std::filesystem::path(options.file).filename().string(),
                              trace->time.front(), trace->time.size(), *text, now());
    if (!added) return added.error();
    if (const auto numbered = number_entries(*archive); !numbered) return numbered;
    std::cerr << options.archive << ": " << (*added ? "holds " : "held already the ")
              << trace->time.size() << " readings of " << options.file << '\n';
    return Done{};
}

/// A flash says nothing of the circuit around it. Without it the codes cannot be read, and a guess
/// would look like a measurement; the circuit of a logger of the same build will do, uncalibrated.
Outcome know_circuit(Archive& archive, std::uint32_t device, const Options& options) {
    const auto own = archive.logger(device);
    if (own) return Done{};
    if (own.error().code != ErrorCode::not_found) return own.error();
    if (options.like.empty())
        return Error{
            ErrorCode::refused,
            fmt::format("nothing is known of the circuit of logger {}", device_name(device)),
            options.archive,
            "Collect from it into this archive once, if it still answers; else collect "
            "from a logger of the same build and name that one with --like."};
    const auto devices = archive.devices();
    if (!devices) return devices.error();
    for (const DeviceSummary& known : *devices) {
        if (device_name(known.device) != options.like) continue;
        const auto like = archive.logger(known.device);
        if (!like) return like.error();
        wire::HelloReply hello{};
        hello.device_id = device;
        hello.firmware_version = like->firmware_version;
        hello.firmware_build = like->firmware_build;
        std::cerr << fmt::format("the circuit of logger {} is taken for that of {}, uncalibrated\n",
                                 options.like, device_name(device));
        return archive.put_logger(hello, like->circuit, now());
    }
    return Error{ErrorCode::wrong_usage, "the archive knows no logger " + options.like, "--like",
                 "`quaycell status --archive` lists those that it knows."};
}

Outcome import_flash_file(const Options& options) {
    const auto bytes = read_file(options.file);
    if (!bytes) return bytes.error();
    const auto image = read_flash_image(
        {reinterpret_cast<const std::uint8_t*>(bytes->data()), bytes->size()}, options.file);
    if (!image) return image.error();
    // Nothing is known of any logger in an archive that is not there, so none is begun.
    if (const auto there = Archive::open(options.archive, OpenMode::read); !there)
        return there.error();
    auto archive = Archive::open(options.archive, OpenMode::write_create);
    if (!archive) return archive.error();
    if (const auto known = know_circuit(*archive, image->device, options); !known) return known;
    const auto imported = import_flash(*archive, *image);
    if (!imported) return imported.error();
    if (const auto numbered = number_entries(*archive); !numbered) return numbered;
    std::cerr << fmt::format("{}: {} records of logger {} added, {} held already\n",
                             options.archive, imported->counts.added, device_name(image->device),
                             imported->counts.already_held);
    for (const SequenceRange& gap : imported->gaps)
        std::cerr << fmt::format("gap: {} records from number {} on are torn or lost\n", gap.count,
                                 gap.first);
    std::cerr << worn_words(imported->worn_sectors);
    return Done{};
}

} // namespace

void add_import(CLI::App& program, Action& action) {
    const auto options = std::make_shared<Options>();
    CLI::App* command = program.add_subcommand(
        "import", "Bring a trace CSV, or a copy of a logger's flash, into an archive");
    command->add_option("file", options->file, "The file")->type_name("")->required();
    command->add_option("--archive", options->archive, "Archive file; begun if it is not there")
        ->type_name("FILE")
        ->required();
    command->add_option("--scale", options->scale, "Scale of the cell")->type_name("SCALE");
    command->add_option("--vessel", options->vessel_file, "Vessel file that names the scale")
        ->type_name("FILE");
    CLI::Option* flash =
        command->add_flag("--flash", options->is_flash,
                          "The file is a raw copy of a logger's whole flash, not a CSV");
    command
        ->add_option("--like", options->like,
                     "A logger in the archive, of the same build, whose circuit to assume")
        ->type_name("NUMBER")
        ->needs(flash);
    command->footer("The CSV: RFC 4180 with a header; time (RFC 3339, with Z or an offset) and\n"
                    "potential_mv, and if known cell_scale, cell_b_mv, ac_mv, temperature_c,\n"
                    "salinity_psu, source_ohm, battery_mv, quality, deployment (where it changes,\n"
                    "another deployment begins). An empty field is missing.\n\n"
                    "Example:\n"
                    "  quaycell import week.csv --archive tern.quaycell --scale agcl/open\n"
                    "  quaycell import flash.bin --flash --archive tern.quaycell");
    command->callback([options, &action] {
        action = [options] {
            return options->is_flash ? import_flash_file(*options) : import_trace(*options);
        };
    });
}

} // namespace quaycell
