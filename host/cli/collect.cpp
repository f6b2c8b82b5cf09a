// quaycell collect: from the memory of one logger, or of several, into an archive.
#include "collect/collect.h"

#include "cli/collect_report.h"
#include "cli/command.h"
#include "cli/interrupt.h"
#include "cli/logger_port.h"
#include "cli/progress_board.h"
#include "judging/archive_contents.h"
#include "judging/device_name.h"
#include "judging/json_text.h"
#include "link/tcp_bridge.h"

#include <algorithm>
#include <boost/json.hpp>
#include <CLI/CLI.hpp>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <iostream>
#include <map>
#include <thread>

namespace quaycell {

namespace {

namespace json = boost::json;

/// A collection of fewer slots runs at the first speed anyway.
constexpr std::uint64_t worth_telling = 1024;

struct Options {
    PortChoice loggers;
    std::string archive;
    std::string give_up_after = "30s";
    std::uint32_t baud = wire::baud_of(wire::fastest_speed);
    bool as_json = false;
};

/// One of the loggers that are collected, from its port to what came of it.
struct Visit {
    std::string port;
    Patience patience;
    std::optional<SteadyLogger> logger;
    std::optional<CollectReport> report;
    std::optional<Error> failure;
};

/// Does `work` with every visit that has not failed, at the same time.
void with_each(std::vector<Visit>& visits, const std::function<void(Visit&)>& work) {
    std::vector<std::jthread> threads;
    for (Visit& visit : visits) {
        if (!visit.failure) threads.emplace_back([&work, &visit] { work(visit); });
    }
}

void connect(Visit& visit, std::uint32_t baud) {
    auto logger = SteadyLogger::connect(visit.port, visit.patience);
    if (!logger) {
        visit.failure = logger.error();
        return;
    }
    visit.logger = std::move(*logger);
    std::uint8_t speed = wire::fastest_speed;
    while (wire::baud_of(speed) > baud)
        --speed;
    visit.logger->limit_speed(speed);
}

/// Of two loggers with one number the archive could not tell whose records are whose.
void refuse_namesakes(std::vector<Visit>& visits) {
    std::map<std::uint32_t, std::string> ports;
    for (Visit& visit : visits) {
        if (!visit.logger) continue;
        const std::uint32_t device = visit.logger->hello().device_id;
        const auto [first, is_new] = ports.emplace(device, visit.port);
        if (is_new) continue;
        visit.failure = Error{ErrorCode::refused,
                              fmt::format("this logger has the same number {} as the one at {}",
                                          device_name(device), first->second),
                              visit.port, "Collect it by itself, into an archive of its own."};
        visit.logger.reset();
    }
}

/// Fills in the reports, or the failures. Error: the archive cannot be opened.
Outcome collect_all(std::vector<Visit>& visits, ProgressBoard& board, const Options& options) {
    auto archive = Archive::open(options.archive, OpenMode::write_create);
    if (!archive) return archive.error();
    {
        ArchiveWriter writer(*archive);
        with_each(visits, [&](Visit& visit) {
            const auto row = static_cast<std::size_t>(&visit - visits.data());
            const auto report = collect(
                *visit.logger, writer,
                [&](std::uint64_t done, std::uint64_t total) { board.show(row, done, total); },
                interrupted);
            if (report) {
                visit.report = *report;
                return;
            }
            visit.failure = report.error();
            if (options.loggers.several()) board.say(to_text(report.error()));
        });
    }
    return number_entries(*archive);
}

void print_words(const Visit& visit, const Options& options) {
    if (!visit.report) return;
    std::cout << collect_words(*visit.report, options.archive);
    const std::uint32_t baud = visit.report->baud;
    const bool own_speed = is_tcp_bridge(visit.port);
    if (!own_speed && visit.report->received >= worth_telling && baud < options.baud)
        std::cerr << fmt::format("{}: the line does not hold {} baud; it ran at {}.\n", visit.port,
                                 options.baud, baud);
    const std::string rejects = reject_words(visit.report->rejects);
    if (!rejects.empty()) std::cerr << visit.port << ": " << rejects << '\n';
}

json::object visit_json(const Visit& visit) {
    if (visit.failure) return {{"port", visit.port}, {"error", to_text(*visit.failure)}};
    json::object object = collect_json(*visit.report);
    object["port"] = visit.port;
    return object;
}

void print(const std::vector<Visit>& visits, const Options& options) {
    json::array loggers;
    for (const Visit& visit : visits) {
        if (options.as_json)
            loggers.push_back(visit_json(visit));
        else
            print_words(visit, options);
    }
    if (options.as_json && options.loggers.several())
        std::cout << to_document({{"loggers", loggers}});
    else if (options.as_json)
        std::cout << to_document(loggers.front());
}

/// Which of several failed; they have said why.
Outcome outcome_of(const std::vector<Visit>& visits) {
    std::vector<std::string> failed;
    for (const Visit& visit : visits) {
        if (visit.failure) failed.push_back(visit.port);
    }
    if (failed.empty()) return Done{};
    return Error{ErrorCode::failed,
                 fmt::format("{} of {} loggers were not collected to the end: {}", failed.size(),
                             visits.size(), fmt::join(failed, ", ")),
                 "", "The same command goes on where they stopped."};
}

Outcome run(const Options& options) {
    const auto ports = chosen_ports(options.loggers);
    if (!ports) return ports.error();
    const bool several = options.loggers.several();
    ProgressBoard board(several ? *ports : std::vector<std::string>{"collecting"}, "records");
    const auto say = [&board](const std::string& words) { board.say(words); };
    std::vector<Visit> visits;
    for (const std::string& port : *ports) {
        const auto patience = patience_from(options.give_up_after, port, say);
        if (!patience) return patience.error();
        visits.push_back({port, *patience, {}, {}, {}});
    }
    with_each(visits, [&](Visit& visit) {
        connect(visit, options.baud);
    }); // first, so that no archive is begun in vain
    refuse_namesakes(visits);
    if (!several && visits.front().failure) return *visits.front().failure;
    for (const Visit& visit : visits) {
        if (visit.failure) say(to_text(*visit.failure));
    }
    if (std::ranges::none_of(visits, [](const Visit& visit) { return visit.logger.has_value(); }))
        return outcome_of(visits);
    note_interrupts();
    if (const auto collected = collect_all(visits, board, options); !collected) return collected;
    if (!several && visits.front().failure) return *visits.front().failure;
    print(visits, options);
    return outcome_of(visits);
}

} // namespace

void add_collect(CLI::App& program, Action& action) {
    const auto options = std::make_shared<Options>();
    CLI::App* command =
        program.add_subcommand("collect", "Bring a logger's readings into an archive file");
    add_port_options(*command, options->loggers);
    command->add_option("--archive", options->archive, "Archive file; begun if it is not there")
        ->type_name("FILE")
        ->required();
    add_give_up_option(*command, options->give_up_after);
    command
        ->add_option("--baud", options->baud,
                     "The fastest the line is to run at, when there is much to fetch; it takes the "
                     "fastest that holds")
        ->check(CLI::IsMember({115200, 230400, 460800, 921600}))
        ->capture_default_str();
    command->add_flag("--json", options->as_json, "One JSON document");
    command->footer(
        "Only what the archive lacks is fetched; broken off, it goes on the next time. A\n"
        "logger that is unplugged meanwhile is waited for. It keeps its readings until it\n"
        "is deployed again. A logger behind a bridge stays at the bridge's speed.\n\n"
        "Examples:\n"
        "  quaycell collect --port /dev/ttyUSB0 --archive tern.quaycell\n"
        "  quaycell collect --all --archive yard.quaycell");
    command->callback([options, &action] { action = [options] { return run(*options); }; });
}

} // namespace quaycell
