// quaycell rearm: begin another deployment as the last one was.
#include "cli/arming.h"
#include "cli/command.h"
#include "cli/earlier_readings.h"
#include "cli/lead_check.h"
#include "cli/logger_port.h"
#include "judging/device_name.h"

#include <CLI/CLI.hpp>

namespace quaycell {

namespace {

struct Options {
    std::string port;
    std::string archive;
    std::string clock;
    int discard_readings = 0;
    bool without_lead_check = false;
    bool as_json = false;
};

Outcome run(const Options& options) {
    if (const auto good_clock = unix_time_from(options.clock); !good_clock)
        return good_clock.error();
    auto logger = connect_logger(options.port);
    if (!logger) return logger.error();
    const auto last = logger->status();
    if (!last) return last.error();
    if (last->interval_s == 0)
        return Error{ErrorCode::refused, "this logger has never been armed",
                     device_name(logger->hello().device_id),
                     "Use `quaycell deploy`, which asks for the interval."};
    if (!options.without_lead_check) {
        if (const auto lead = check_lead(*logger); !lead) return lead.error();
    }
    if (options.discard_readings < 2) {
        const auto kept = keep_earlier_readings(*logger, options.archive, told_twice);
        if (!kept) return kept;
    }
    const auto armed = arm(
        *logger, {last->interval_s, static_cast<wire::FullPolicy>(last->policy), options.clock});
    if (!armed) return armed.error();
    tell_armed(*logger, *armed, options.as_json);
    return Done{};
}

} // namespace

void add_rearm(CLI::App& program, Action& action) {
    const auto options = std::make_shared<Options>();
    CLI::App* command = program.add_subcommand(
        "rearm", "Let a logger record anew, at the interval it was deployed with last");
    add_port_option(*command, options->port);
    command
        ->add_option("--archive", options->archive,
                     "Archive to bring the logger's readings into first")
        ->type_name("FILE");
    command
        ->add_option("--clock", options->clock, "Time to set (RFC 3339) instead of the computer's")
        ->type_name("TIME");
    command->add_flag("--discard-readings", options->discard_readings,
                      "Given twice: lose the readings that no archive has");
    command->add_flag("--without-lead-check", options->without_lead_check,
                      "Do not look whether cell and leads give a believable reading");
    command->add_flag("--json", options->as_json, "One JSON document");
    command->footer("Example:\n"
                    "  quaycell rearm --port /dev/ttyUSB0 --archive tern.quaycell");
    command->callback([options, &action] { action = [options] { return run(*options); }; });
}

} // namespace quaycell
