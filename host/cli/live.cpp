// quaycell live: readings as they are taken, of one logger or of several.
#include "cli/command.h"
#include "cli/interrupt.h"
#include "cli/logger_port.h"
#include "judging/boat.h"
#include "judging/device_name.h"
#include "judging/json_text.h"
#include "judging/judgement_text.h"
#include "judging/live_judge.h"

#include <boost/json.hpp>
#include <chrono>
#include <CLI/CLI.hpp>
#include <cmath>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <iostream>
#include <mutex>
#include <optional>
#include <thread>

namespace quaycell {

namespace {

struct Options {
    PortChoice loggers;
    BoatOptions boat;
    std::uint64_t count = 0; ///< 0: until interrupted
    std::string give_up_after = "30s";
    bool as_json = false;
};

void print_json(const LiveLine& line, const std::string& device) {
    std::cout << to_line({{"time", to_text(line.time)},
                          {"device", device},
                          {"potential_mv", rounded(line.potential_mv, 2)},
                          {"standard_mv", rounded(line.standard_mv, 2)},
                          {"scale", name_of(Scale::agcl_seawater)},
                          {"expanded_uncertainty_mv", rounded(line.expanded_uncertainty_mv, 1)},
                          {"verdict", name_of(line.judgement.verdict)},
                          {"cell_b_mv", rounded(line.cell_b_mv, 2)},
                          {"ac_mv", rounded(line.ac_mv, 1)},
                          {"lead", name_of(line.lead)},
                          {"lead_why", line.lead_words},
                          {"source_ohm", rounded(line.source_ohm, 0)},
                          {"temperature_c", rounded(line.temperature_c, 2)},
                          {"battery_mv", rounded(line.battery_mv, 0)},
                          {"quality", to_text(line.quality)},
                          {"recorded", line.recorded}})
              << std::flush;
}

void print_words(const LiveLine& line, Scale cell_scale) {
    std::cout << fmt::format("{}  {:8.1f} mV on {}  {:8.1f} mV on agcl/seawater, within {:.0f} mV  "
                             "{}  water {:.1f} degC  battery {:.2f} V{}",
                             to_text(line.time), line.potential_mv, name_of(cell_scale),
                             line.standard_mv, line.expanded_uncertainty_mv,
                             name_of(line.judgement.verdict), line.temperature_c,
                             line.battery_mv / 1000, line.recorded ? "  recorded" : "");
    if (!std::isnan(line.ac_mv))
        std::cout << fmt::format("  AC {}{:.0f} mV",
                                 has(line.quality, Quality::ac_clipped) ? "at least " : "",
                                 line.ac_mv);
    if (line.quality != Quality::good) std::cout << "  " << to_text(line.quality);
    if (!line.lead_words.empty()) std::cout << "  " << line.lead_words;
    std::cout << std::endl;
}

/// What the threads that watch a logger each share: the screen.
class Screen {
  public:
    explicit Screen(const Options& options) : options_(options) {}

    void show(const LiveLine& line, const std::string& device, const Boat& boat) {
        const std::scoped_lock lock(mutex_);
        tell_grounds(line, boat);
        if (options_.as_json) {
            print_json(line, device);
            return;
        }
        if (options_.loggers.several()) std::cout << device << "  ";
        print_words(line, boat.cell_scale);
    }

    void say(const std::string& words) {
        const std::scoped_lock lock(mutex_);
        std::cerr << words << '\n';
    }

  private:
    /// By what is judged, told once, as soon as a reading has settled: the boat is the same for all
    /// loggers.
    void tell_grounds(const LiveLine& line, const Boat& boat) {
        if (told_ || has(line.quality, Quality::unsettled)) return;
        std::cerr << criteria_text(line.judgement, boat, {}) << footing_text(line.judgement, boat);
        told_ = true;
    }

    const Options& options_;
    std::mutex mutex_;
    bool told_ = false;
};

Instant now() {
    return std::chrono::floor<std::chrono::seconds>(std::chrono::system_clock::now());
}

/// Shows readings until there are enough, counted on in `shown`.
Outcome watch(Logger& logger, const Options& options, Screen& screen, std::uint64_t& shown) {
    const auto circuit = logger.circuit();
    if (!circuit) return circuit.error();
    const auto calibration = logger.calibration();
    if (!calibration) return calibration.error();
    const LoggerFacts facts{logger.hello().device_id, *circuit, *calibration};
    if (*calibration && now() >= from_unix_s((*calibration)->due_unix_s) && shown == 0)
        screen.say("the logger's calibration had to be repeated by " +
                   to_text(from_unix_s((*calibration)->due_unix_s)));
    std::optional<Result<LiveJudge>> judge;
    const auto outcome = logger.live([&](const wire::LiveReading& reading) {
        if (!judge) judge = LiveJudge::prepare(options.boat, facts, reading);
        if (!*judge) return false;
        screen.show((*judge)->line(reading, now()), device_name(facts.device_id), (*judge)->boat());
        ++shown;
        return shown != options.count && !interrupted() && std::cout.good();
    });
    if (judge && !*judge) return judge->error();
    return outcome;
}

Outcome watch_port(const std::string& port, const Options& options, Screen& screen) {
    const auto patience = patience_from(options.give_up_after, port,
                                        [&](const std::string& words) { screen.say(words); });
    if (!patience) return patience.error();
    auto logger = SteadyLogger::connect(port, *patience);
    if (!logger) return logger.error();
    note_interrupts();
    std::uint64_t shown = 0;
    const auto outcome = logger->keep_at(
        [&](Logger& found) { return watch(found, options, screen, shown); }, [&] { return shown; });
    if (const std::string rejects = reject_words(logger->rejects()); !rejects.empty())
        screen.say(port + ": " + rejects);
    if (!outcome && outcome.error().code == ErrorCode::interrupted) return Done{};
    return outcome;
}

Outcome watch_all(const std::vector<std::string>& ports, const Options& options, Screen& screen) {
    std::vector<std::string> failed;
    std::mutex failing;
    {
        std::vector<std::jthread> threads;
        for (const std::string& port : ports) {
            threads.emplace_back([&] {
                const auto outcome = watch_port(port, options, screen);
                if (outcome) return;
                screen.say(to_text(outcome.error()));
                const std::scoped_lock lock(failing);
                failed.push_back(port);
            });
        }
    }
    if (failed.empty()) return Done{};
    return Error{ErrorCode::failed,
                 fmt::format("{} of {} loggers failed: {}", failed.size(), ports.size(),
                             fmt::join(failed, ", ")),
                 "", "The reasons are above."};
}

Outcome run(const Options& options) {
    const auto ports = chosen_ports(options.loggers);
    if (!ports) return ports.error();
    Screen screen(options);
    return options.loggers.several() ? watch_all(*ports, options, screen)
                                     : watch_port(ports->front(), options, screen);
}

} // namespace

void add_live(CLI::App& program, Action& action) {
    const auto options = std::make_shared<Options>();
    CLI::App* command = program.add_subcommand("live", "Readings as the logger takes them");
    add_port_options(*command, options->loggers);
    add_boat_options(*command, options->boat);
    command->add_option("--count", options->count, "Stop after so many readings")->type_name("N");
    add_give_up_option(*command, options->give_up_after);
    command->add_flag("--json", options->as_json, "One JSON document a line");
    command->footer("Ctrl-C ends it. Hang the cell from the deck, near the metal and away from "
                    "anodes. Nobody in the\n"
                    "water near a dock that carries electricity.\n\n"
                    "Example:\n"
                    "  quaycell live --port /dev/ttyUSB0 --hull aluminium --salinity 30");
    command->callback([options, &action] { action = [options] { return run(*options); }; });
}

} // namespace quaycell
