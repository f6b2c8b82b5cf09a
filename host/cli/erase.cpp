// quaycell erase: let a logger forget its readings.
#include "cli/command.h"
#include "cli/earlier_readings.h"
#include "cli/logger_port.h"
#include "judging/device_name.h"
#include "judging/json_text.h"

#include <boost/json.hpp>
#include <CLI/CLI.hpp>
#include <iostream>

namespace quaycell {

namespace {

struct Options {
    std::string port;
    std::string archive;
    int discard_readings = 0;
    bool as_json = false;
};

Outcome run(const Options& options) {
    auto logger = connect_logger(options.port);
    if (!logger) return logger.error();
    if (options.discard_readings < 2) {
        const auto kept = keep_earlier_readings(*logger, options.archive, told_twice);
        if (!kept) return kept;
    }
    // Stopped, so that the log cannot grow between looking and forgetting.
    const auto seen = logger->stop();
    if (!seen) return seen.error();
    const auto forgotten = logger->forget(seen->next_sequence);
    if (!forgotten) return forgotten.error();
    const std::string device = device_name(logger->hello().device_id);
    if (options.as_json)
        std::cout << to_document({{"device", device},
                                  {"records_forgotten", seen->next_sequence - seen->tail_sequence},
                                  {"records_free", forgotten->free_slots}});
    else
        std::cout << "logger " << device << " has forgotten its readings and records nothing; room "
                  << "for " << forgotten->free_slots << " records\n";
    return Done{};
}

} // namespace

void add_erase(CLI::App& program, Action& action) {
    const auto options = std::make_shared<Options>();
    CLI::App* command =
        program.add_subcommand("erase", "End a logger's recording and let it forget its readings");
    add_port_option(*command, options->port);
    command
        ->add_option("--archive", options->archive,
                     "Archive to bring the logger's readings into first")
        ->type_name("FILE");
    command->add_flag("--discard-readings", options->discard_readings,
                      "Given twice: lose the readings that no archive has");
    command->add_flag("--json", options->as_json, "One JSON document");
    command->footer("Example:\n"
                    "  quaycell erase --port /dev/ttyUSB0 --archive tern.quaycell");
    command->callback([options, &action] { action = [options] { return run(*options); }; });
}

} // namespace quaycell
