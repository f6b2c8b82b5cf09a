// quaycell deploy: set the clock, arm the logger, see that it records.
#include "base/time.h"
#include "cli/arming.h"
#include "cli/command.h"
#include "cli/earlier_readings.h"
#include "cli/endurance.h"
#include "cli/lead_check.h"
#include "cli/logger_port.h"
#include "series/conversion.h"

#include <CLI/CLI.hpp>
#include <cmath>
#include <fmt/format.h>
#include <iostream>

namespace quaycell {

namespace {

struct Options {
    std::string port;
    std::string interval = "10s";
    std::string archive;
    std::string clock;
    bool overwrite_oldest = false;
    std::string duration; ///< how long it is to record
    bool discard_readings = false;
    bool without_lead_check = false;
    bool as_json = false;
};

Result<std::uint16_t> interval_from(const std::string& text) {
    const auto interval = parse_duration(text);
    if (!interval) return interval.error();
    if (interval->count() < wire::shortest_interval_s ||
        interval->count() > wire::longest_interval_s)
        return Error{ErrorCode::wrong_usage, fmt::format("an interval of {} is not possible", text),
                     "--interval", "It can be 1s to 1h."};
    return static_cast<std::uint16_t>(interval->count());
}

Error too_short(const std::string& what, std::chrono::seconds lasts, std::chrono::seconds asked,
                std::string remedy) {
    return {ErrorCode::refused,
            fmt::format("{} for {}, not for {}", what, to_text(lasts), to_text(asked)), "--for",
            std::move(remedy)};
}

/// Says for how long memory and batteries last. Error: refused, when one does not last long enough.
Outcome check_endurance(Logger& logger, std::uint16_t interval_s, const Options& options) {
    std::chrono::seconds asked{0};
    if (!options.duration.empty()) {
        const auto duration = parse_duration(options.duration);
        if (!duration) return duration.error();
        asked = *duration;
    }
    const auto circuit = logger.circuit();
    if (!circuit) return circuit.error();
    const auto status = logger.status();
    if (!status) return status.error();
    const auto memory = empty_memory_lasts(logger.hello().sector_count, interval_s);
    const double volts = battery_mv(status->battery, *circuit) / 1000;
    if (!options.overwrite_oldest && memory < asked)
        return too_short("the memory lasts", memory, asked,
                         "Choose a longer --interval, or --overwrite-oldest to keep the newest.");
    if (std::isnan(volts)) {
        std::cerr << "the battery could not be measured\n";
        return Done{};
    }
    const auto battery = battery_lasts(volts * 1000, interval_s);
    if (battery < asked)
        return too_short(fmt::format("the batteries, at {:.2f} V, last (estimated)", volts),
                         battery, asked, "Put in three fresh AA alkaline cells.");
    std::cerr << fmt::format("battery: {:.2f} V, lasts for {} at least (estimated from its voltage "
                             "and the parts' largest currents)\n",
                             volts, to_text(battery));
    return Done{};
}

Outcome check_cell(Logger& logger) {
    const auto check = check_lead(logger);
    if (!check) return check.error();
    std::cerr << fmt::format("cell and leads: {:.1f} mV, settled; {}, {:.0f} kohm\n",
                             check->potential_mv, name_of(check->state), check->source_ohm / 1000);
    if (!check->words.empty()) std::cerr << "note: " << check->words << '\n';
    return Done{};
}

Outcome run(const Options& options) {
    const auto interval_s = interval_from(options.interval);
    if (!interval_s) return interval_s.error();
    if (const auto good_clock = unix_time_from(options.clock); !good_clock)
        return good_clock.error();
    auto logger = connect_logger(options.port);
    if (!logger) return logger.error();
    if (const auto lasts = check_endurance(*logger, *interval_s, options); !lasts) return lasts;
    if (!options.without_lead_check) {
        if (const auto cell = check_cell(*logger); !cell) return cell;
    }
    if (!options.discard_readings) {
        const auto kept = keep_earlier_readings(
            *logger, options.archive,
            "Name an archive to bring them into with --archive; or say --discard-readings.");
        if (!kept) return kept;
    }
    const auto policy = options.overwrite_oldest ? wire::FullPolicy::overwrite_oldest
                                                 : wire::FullPolicy::stop_when_full;
    const auto armed = arm(*logger, {*interval_s, policy, options.clock});
    if (!armed) return armed.error();
    tell_armed(*logger, *armed, options.as_json);
    return Done{};
}

} // namespace

void add_deploy(CLI::App& program, Action& action) {
    const auto options = std::make_shared<Options>();
    CLI::App* command = program.add_subcommand("deploy", "Set a logger's clock and let it record");
    add_port_option(*command, options->port);
    command->add_option("--interval", options->interval, "Time between readings, 1s to 1h")
        ->type_name("TIME")
        ->capture_default_str();
    command
        ->add_option("--archive", options->archive,
                     "Archive to bring the logger's earlier readings into first")
        ->type_name("FILE");
    command
        ->add_option("--clock", options->clock, "Time to set (RFC 3339) instead of the computer's")
        ->type_name("TIME");
    command->add_flag("--overwrite-oldest", options->overwrite_oldest,
                      "When the memory is full, overwrite the oldest readings instead of stopping");
    command
        ->add_option("--for", options->duration,
                     "How long it is to record; refused when memory or batteries do not last")
        ->type_name("TIME");
    command->add_flag(
        "--discard-readings", options->discard_readings,
        "Lose the logger's earlier readings instead of bringing them into an archive");
    command->add_flag("--without-lead-check", options->without_lead_check,
                      "Do not look whether cell and leads give a believable reading");
    command->add_flag("--json", options->as_json, "One JSON document");
    command->footer(
        "The logger keeps one deployment; an earlier one goes into the archive first.\n\n"
        "Example:\n"
        "  quaycell deploy --port /dev/ttyUSB0 --interval 10s --archive tern.quaycell");
    command->callback([options, &action] { action = [options] { return run(*options); }; });
}

} // namespace quaycell
