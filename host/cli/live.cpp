// quaycell live: readings as they are taken, of one logger or of several.
#include "cli/command.h"
#include "cli/display_scale.h"
#include "cli/interrupt.h"
#include "cli/live_desk.h"
#include "cli/live_feed.h"
#include "cli/live_lines.h"
#include "cli/logger_port.h"
#include "cli/thread_bug.h"
#include "judging/author.h"
#include "judging/live_watch.h"

#include <chrono>
#include <CLI/CLI.hpp>
#include <fmt/format.h>
#include <fmt/ranges.h>
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
    std::string format = "words";
    bool as_json = false;
    std::string serve; ///< [HOST:]PORT; empty: to nobody
    DisplayScale display;
    std::string archive; ///< for notes; empty: they are kept nowhere
    std::string author;
};

/// Where readings go.
struct Goals {
    LiveFace& face;
    LiveFeed* feed; ///< null: nobody reads over TCP
};

Instant now() {
    return std::chrono::floor<std::chrono::milliseconds>(std::chrono::system_clock::now());
}

/// One logger, as long as it is watched: what is known of it outlives a loss of the line.
class Watched {
  public:
    Watched(const Options& options, Goals goals) : options_(options), goals_(goals) {}

    /// Shows readings until there are enough.
    Outcome go_on(Logger& logger) {
        const auto facts = facts_of(logger);
        if (!facts) return facts.error();
        std::optional<Error> failure;
        const auto outcome = logger.live([&](const wire::LiveReading& reading) {
            if (!watch_) {
                auto judge =
                    LiveJudge::prepare(options_.boat, *facts, reading, options_.display.scale);
                if (!judge) {
                    failure = judge.error();
                    return AfterReading::end;
                }
                watch_.emplace(std::move(judge).value(), *facts);
            }
            const bool to_look = show(reading);
            if (shown_ == options_.count || interrupted() || !goals_.face.is_there())
                return AfterReading::end;
            return to_look ? AfterReading::look_at_leads : AfterReading::go_on;
        });
        if (failure) return *failure;
        return outcome;
    }

    std::uint64_t shown() const { return shown_; }

  private:
    Result<LoggerFacts> facts_of(Logger& logger) const {
        const auto circuit = logger.circuit();
        if (!circuit) return circuit.error();
        const auto calibration = logger.calibration();
        if (!calibration) return calibration.error();
        if (*calibration && now() >= from_unix_s((*calibration)->due_unix_s) && shown_ == 0)
            goals_.face.say("the logger's calibration had to be repeated by " +
                            to_text(from_unix_s((*calibration)->due_unix_s)));
        return LoggerFacts{logger.hello().device_id, *circuit, *calibration};
    }

    /// Whether the logger is to look at its leads.
    bool show(const wire::LiveReading& reading) {
        if (const auto word = goals_.face.shore_word()) watch_->say_shore(*word);
        const LiveView view = watch_->take(reading, now());
        goals_.face.show(view, watch_->judge().boat());
        if (goals_.feed != nullptr) goals_.feed->publish(view);
        ++shown_;
        return view.leads_to_be_looked_at;
    }

    const Options& options_;
    Goals goals_;
    std::optional<LiveWatch> watch_; ///< from the first reading on
    std::uint64_t shown_ = 0;
};

Outcome watch_port(const std::string& port, const Options& options, Goals goals) {
    auto patience = patience_from(options.give_up_after, port,
                                  [&](const std::string& words) { goals.face.lose(words); });
    if (!patience) return patience.error();
    auto logger = SteadyLogger::connect(port, *patience);
    if (!logger) return logger.error();
    Watched watched(options, goals);
    const auto outcome = logger->keep_at([&](Logger& found) { return watched.go_on(found); },
                                         [&] { return watched.shown(); });
    if (const std::string rejects = reject_words(logger->rejects()); !rejects.empty())
        goals.face.say(port + ": " + rejects);
    if (!outcome && outcome.error().code == ErrorCode::interrupted) return Done{};
    return outcome;
}

Outcome watch_all(const std::vector<std::string>& ports, const Options& options, Goals goals,
                  ThreadBug& bug) {
    std::vector<std::string> failed;
    std::mutex failing;
    const auto watch = [&](const std::string& port) {
        const auto outcome = watch_port(port, options, goals);
        if (outcome) return;
        goals.face.say(to_text(outcome.error()));
        const std::scoped_lock lock(failing);
        failed.push_back(port);
    };
    {
        std::vector<std::jthread> threads;
        for (const std::string& port : ports)
            threads.emplace_back([&] {
                bug.guard([&] { watch(port); },
                          [&](const std::string& words) { goals.face.say(port + ": " + words); });
            });
    }
    if (failed.empty()) return Done{};
    return Error{ErrorCode::failed,
                 fmt::format("{} of {} loggers failed: {}", failed.size(), ports.size(),
                             fmt::join(failed, ", ")),
                 "", "The reasons are above."};
}

Result<LiveFormat> format_of(const Options& options) {
    const auto format =
        options.as_json ? Result<LiveFormat>(LiveFormat::json) : live_format_named(options.format);
    if (format && options.loggers.several() && !tells_loggers_apart(*format))
        return Error{ErrorCode::wrong_usage,
                     fmt::format("{} does not tell several loggers apart", options.format),
                     "--format", "Name one with --port, or take json or signalk."};
    return format;
}

/// A screen where one logger is told in words to somebody at a terminal. Who serves a form to
/// others looks on in words.
Result<std::unique_ptr<LiveFace>> face_of(const Options& options, LiveFormat format,
                                          ThreadBug& bug) {
    const LiveFormat shown = options.serve.empty() ? format : LiveFormat::words;
    if (shown == LiveFormat::words && !options.loggers.several() && Terminal::is_there()) {
        auto notes = LiveNotes::begin(options.archive, author_from(options.author));
        if (!notes) return notes.error();
        note_interrupts(Terminal::give_back);
        return std::unique_ptr<LiveFace>(std::make_unique<LiveDesk>(std::move(notes).value(), bug));
    }
    if (!options.archive.empty())
        return Error{ErrorCode::wrong_usage,
                     "notes are typed on the screen, and here is none (one logger, in words, on a "
                     "terminal)",
                     "--archive", "Leave it out; `quaycell note` keeps a note by itself."};
    note_interrupts();
    return std::unique_ptr<LiveFace>(std::make_unique<LiveLines>(shown, options.loggers.several()));
}

/// Nothing where nobody is to read over TCP.
Result<std::unique_ptr<LiveFeed>> feed_of(const Options& options, LiveFormat format,
                                          LiveFace& face) {
    if (options.serve.empty()) return std::unique_ptr<LiveFeed>();
    const auto address = serve_address(options.serve);
    if (!address) return address.error();
    auto server =
        LineServer::open(*address, [&face](const std::string& words) { face.say(words); });
    if (!server) return server.error();
    face.say(fmt::format("serving {} at {}:{}{}", options.as_json ? "json" : options.format,
                         address->host, server->port(),
                         server->is_public() ? ", to whoever is in the network" : ""));
    return std::make_unique<LiveFeed>(std::move(server).value(), format, options.loggers.several());
}

Outcome run(const Options& options) {
    const auto format = format_of(options);
    if (!format) return format.error();
    const auto ports = chosen_ports(options.loggers);
    if (!ports) return ports.error();
    ThreadBug bug;
    const auto face = face_of(options, *format, bug);
    if (!face) return face.error();
    const auto feed = feed_of(options, *format, **face);
    if (!feed) return feed.error();
    const Goals goals{**face, feed->get()};
    const auto outcome = options.loggers.several() ? watch_all(*ports, options, goals, bug)
                                                   : watch_port(ports->front(), options, goals);
    bug.rethrow();
    return outcome;
}

} // namespace

void add_live(CLI::App& program, Action& action) {
    const auto options = std::make_shared<Options>();
    CLI::App* command = program.add_subcommand("live", "Readings as the logger takes them");
    add_port_options(*command, options->loggers);
    add_boat_options(*command, options->boat);
    add_display_scale_option(*command, options->display);
    command->add_option("--count", options->count, "Stop after so many readings")->type_name("N");
    add_give_up_option(*command, options->give_up_after);
    command
        ->add_option(
            "--format", options->format,
            "words, csv (a trace), json (one document a line), nmea0183 (XDR sentences) or "
            "signalk (deltas)")
        ->type_name("FORM")
        ->capture_default_str();
    command->add_flag("--json", options->as_json, "As --format json")->excludes("--format");
    command
        ->add_option("--serve-tcp", options->serve,
                     "Send that form to any number of readers that connect here; without HOST "
                     "those on this computer")
        ->type_name("[HOST:]PORT");
    command
        ->add_option("--archive", options->archive,
                     "Where notes that are typed on the screen are kept")
        ->type_name("FILE");
    add_author_option(*command, options->author);
    command->footer("On a terminal one logger has a screen: n types a note, p and u tell how to "
                    "plug shore power in or\n"
                    "unplug it and, pressed again, keep that it was done; w tells by what it is "
                    "judged, q or Ctrl-C\n"
                    "ends it. Else one line a reading.\n\n"
                    "Hang the cell from the deck, near the metal and away from "
                    "anodes. Nobody in the\n"
                    "water near a dock that carries electricity.\n\n"
                    "Examples:\n"
                    "  quaycell live --port /dev/ttyUSB0 --hull aluminium --salinity 30\n"
                    "  quaycell live --port /dev/ttyUSB0 --hull aluminium --format nmea0183 "
                    "--serve-tcp 0.0.0.0:10110");
    command->callback([options, &action] { action = [options] { return run(*options); }; });
}

} // namespace quaycell
