// quaycell collect: from the logger's memory into an archive.
#include "collect/collect.h"

#include "cli/command.h"
#include "cli/json_text.h"
#include "cli/logger_port.h"
#include "cli/progress_line.h"

#include <boost/json.hpp>
#include <CLI/CLI.hpp>
#include <fmt/format.h>
#include <iostream>

namespace quaycell {

namespace {

namespace json = boost::json;

struct Options {
    std::string port;
    std::string archive;
    bool as_json = false;
};

json::array gaps_json(const CollectReport& report) {
    json::array gaps;
    for (const SequenceRange& gap : report.gaps)
        gaps.push_back({{"first_sequence", gap.first}, {"records", gap.count}});
    return gaps;
}

void print_json(const CollectReport& report) {
    std::cout << to_document({{"device", device_name(report.device)},
                              {"received", report.received},
                              {"added", report.added},
                              {"already_held", report.already_held},
                              {"bad", report.bad},
                              {"gaps", gaps_json(report)},
                              {"damaged_frames", report.rejects.damaged()}});
}

void print_words(const CollectReport& report, const std::string& archive) {
    std::cout << fmt::format("logger {}: {} records added to {}", device_name(report.device),
                             report.added, archive);
    if (report.added == 0) std::cout << ", which holds all that the logger has";
    std::cout << '\n';
    for (const SequenceRange& gap : report.gaps)
        std::cout << fmt::format("gap: {} records from number {} were torn or lost in the logger\n",
                                 gap.count, gap.first);
    const std::string rejects = reject_words(report.rejects);
    if (!rejects.empty()) std::cerr << rejects << '\n';
}

Outcome run(const Options& options) {
    auto logger = connect_logger(options.port); // first, so that no archive is begun in vain
    if (!logger) return logger.error();
    auto archive = Archive::open(options.archive, OpenMode::write_create);
    if (!archive) return archive.error();
    const auto report = [&] {
        ProgressLine progress("collecting", "records");
        return collect(*logger, *archive, [&](std::uint64_t done, std::uint64_t total) {
            progress.show(done, total);
        });
    }();
    if (!report) return report.error();
    if (options.as_json)
        print_json(*report);
    else
        print_words(*report, options.archive);
    return Done{};
}

} // namespace

void add_collect(CLI::App& program, Action& action) {
    const auto options = std::make_shared<Options>();
    CLI::App* command =
        program.add_subcommand("collect", "Bring a logger's readings into an archive file");
    add_port_option(*command, options->port);
    command->add_option("--archive", options->archive, "Archive file; begun if it is not there")
        ->type_name("FILE")
        ->required();
    command->add_flag("--json", options->as_json, "One JSON document");
    command->footer(
        "Only what the archive lacks is fetched; broken off, it goes on the next time.\n"
        "The logger keeps its readings until it is deployed again.\n\n"
        "Example:\n"
        "  quaycell collect --port /dev/ttyUSB0 --archive tern.quaycell");
    command->callback([options, &action] { action = [options] { return run(*options); }; });
}

} // namespace quaycell
