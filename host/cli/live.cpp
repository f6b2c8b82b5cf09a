// quaycell live: readings as they are taken.
#include "cli/boat.h"
#include "cli/command.h"
#include "cli/json_text.h"
#include "cli/logger_port.h"
#include "protection/judge.h"
#include "protection/standard_potential.h"
#include "series/conversion.h"

#include <boost/json.hpp>
#include <chrono>
#include <CLI/CLI.hpp>
#include <cmath>
#include <fmt/format.h>
#include <iostream>

namespace quaycell {

namespace {

struct Options {
    std::string port;
    BoatOptions boat;
    std::uint64_t count = 0; ///< 0: until interrupted
    bool as_json = false;
};

void print_json(const LiveLine& line) {
    std::cout << to_line({{"time", to_text(line.time)},
                          {"potential_mv", rounded(line.potential_mv, 2)},
                          {"standard_mv", rounded(line.standard_mv, 2)},
                          {"scale", name_of(Scale::agcl_seawater)},
                          {"expanded_uncertainty_mv", rounded(line.expanded_uncertainty_mv, 1)},
                          {"verdict", name_of(line.verdict)},
                          {"temperature_c", rounded(line.temperature_c, 2)},
                          {"battery_mv", rounded(line.battery_mv, 0)},
                          {"quality", to_text(line.quality)},
                          {"recorded", line.recorded}})
              << std::flush;
}

void print_words(const LiveLine& line, Scale cell_scale) {
    std::cout << fmt::format("{}  {:8.1f} mV on {}  {:8.1f} mV on agcl/seawater  {}  water {:.1f} "
                             "degC  battery {:.2f} V{}",
                             to_text(line.time), line.potential_mv, name_of(cell_scale),
                             line.standard_mv, name_of(line.verdict), line.temperature_c,
                             line.battery_mv / 1000, line.recorded ? "  recorded" : "");
    if (line.quality != Quality::good) std::cout << "  " << to_text(line.quality);
    std::cout << std::endl;
}

Outcome run(const Options& options) {
    auto logger = connect_logger(options.port);
    if (!logger) return logger.error();
    const auto circuit = logger->circuit();
    if (!circuit) return circuit.error();
    const auto calibration = logger->calibration();
    if (!calibration) return calibration.error();
    const auto judge =
        LiveJudge::prepare(options.boat, {logger->hello().device_id, *circuit, *calibration});
    if (!judge) return judge.error();

    for (const std::string& assumption : judge->boat().water.assumed)
        std::cerr << "assumed: " << assumption << '\n';
    std::uint64_t shown = 0;
    return logger->live([&](const wire::LiveReading& reading) {
        const LiveLine line = judge->line(
            reading, std::chrono::floor<std::chrono::seconds>(std::chrono::system_clock::now()));
        if (options.as_json)
            print_json(line);
        else
            print_words(line, judge->boat().cell_scale);
        return options.count == 0 || ++shown < options.count;
    });
}

} // namespace

void add_live(CLI::App& program, Action& action) {
    const auto options = std::make_shared<Options>();
    CLI::App* command = program.add_subcommand("live", "Readings as the logger takes them");
    add_port_option(*command, options->port);
    add_boat_options(*command, options->boat);
    command->add_option("--count", options->count, "Stop after so many readings")->type_name("N");
    command->add_flag("--json", options->as_json, "One JSON document a line");
    command->footer(
        "Hang the cell from the deck, near the metal and away from anodes. Nobody in the\n"
        "water near a dock that carries electricity.\n\n"
        "Example:\n"
        "  quaycell live --port /dev/ttyUSB0 --hull aluminium --salinity 30");
    command->callback([options, &action] { action = [options] { return run(*options); }; });
}

} // namespace quaycell
