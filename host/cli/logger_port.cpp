#include "cli/logger_port.h"

#include "base/time.h"
#include "cli/interrupt.h"
#include "link/find_loggers.h"

#include <array>
#include <CLI/CLI.hpp>
#include <fmt/format.h>
#include <fmt/ranges.h>

namespace quaycell {

namespace {

constexpr const char* port_help =
    "Serial port, for instance /dev/ttyUSB0, or a serial bridge, tcp://HOST:PORT. Not needed when "
    "one logger answers: every serial port is then asked, with a few bytes";

/// The paths of the ports with a logger. Error: why there is none.
Result<std::vector<std::string>> answering_ports() {
    auto ports = list_ports();
    if (!ports) return ports.error();
    find_loggers(*ports);
    std::vector<std::string> paths;
    const Error* trouble = nullptr;
    for (const PortInfo& port : *ports) {
        const bool kept_out = port.trouble && (port.trouble->code == ErrorCode::no_permission ||
                                               port.trouble->code == ErrorCode::in_use);
        if (port.answers) paths.push_back(port.path);
        if (!port.answers && kept_out && trouble == nullptr) trouble = &*port.trouble;
    }
    if (!paths.empty()) return paths;
    if (trouble != nullptr)
        return Error{trouble->code,
                     fmt::format("no logger answers on any of {} serial ports; at this one: {}",
                                 ports->size(), trouble->what),
                     trouble->where, trouble->remedy};
    return Error{ErrorCode::not_found,
                 fmt::format("no logger answers on any of {} serial ports", ports->size()), "",
                 "Plug the logger's cable in, or name the port with --port."};
}

} // namespace

void add_port_option(CLI::App& command, std::string& port) {
    command.add_option("--port", port, port_help)->type_name("PORT");
}

void add_port_options(CLI::App& command, PortChoice& choice) {
    CLI::Option* port =
        command
            .add_option("--port", choice.ports, std::string(port_help) + "; for several, repeat")
            ->type_name("PORT")
            ->allow_extra_args(false);
    command.add_flag("--all", choice.all, "All loggers that answer, at the same time")
        ->excludes(port);
}

Result<std::vector<std::string>> chosen_ports(const PortChoice& choice) {
    if (!choice.ports.empty()) return choice.ports;
    const auto paths = answering_ports();
    if (!paths || paths->size() == 1 || choice.all) return paths;
    return Error{ErrorCode::wrong_usage, "more than one logger answers", "",
                 fmt::format("Name one with --port: {}.", fmt::join(*paths, ", "))};
}

void add_give_up_option(CLI::App& command, std::string& text) {
    command
        .add_option("--give-up-after", text,
                    "How long to wait for a logger that was unplugged or fell silent; 0 does not")
        ->type_name("TIME")
        ->capture_default_str();
}

Result<Patience> patience_from(const std::string& give_up_after, const std::string& port,
                               const std::function<void(const std::string&)>& say) {
    const auto limit = parse_duration(give_up_after);
    if (!limit) return limit.error();
    return Patience{*limit, interrupted,
                    [=](const Error& loss) {
                        say(fmt::format("{}: {}. Waiting for it, for {} at most; Ctrl-C ends.",
                                        port, loss.what, to_text(*limit)));
                    },
                    [=] { say(fmt::format("{}: the logger is back, going on.", port)); }};
}

Result<Logger> connect_logger(const std::string& port) {
    const auto path = chosen_ports({port.empty() ? std::vector<std::string>{} : std::vector{port}});
    if (!path) return path.error();
    auto transport = open_port(path->front());
    if (!transport) return transport.error();
    return Logger::connect(std::move(transport).value());
}

std::chrono::seconds memory_lasts(const wire::StatusReply& status) {
    constexpr std::int64_t check_period_s = 3600;
    return std::chrono::seconds{std::int64_t{status.free_slots} * status.interval_s *
                                check_period_s / (check_period_s + status.interval_s)};
}

std::vector<std::string> fault_words(std::uint8_t faults) {
    struct Fault {
        std::uint8_t bit;
        const char* words;
    };
    constexpr std::array<Fault, 5> known{{
        {wire::fault_converter,
         "the converter does not answer, never ends or is plainly wrong: no potential can be "
         "believed. Have the logger looked at"},
        {wire::fault_clock, "the clock chip does not answer, stands still or does not wake the "
                            "logger: times are rough. "
                            "Have the logger looked at"},
        {wire::fault_flash, "the memory does not answer: nothing is recorded"},
        {wire::fault_identity, "it has no number of its own yet"},
        {wire::fault_calibration, "it is not calibrated"},
    }};
    std::vector<std::string> words;
    for (const Fault& fault : known)
        if ((faults & fault.bit) != 0) words.emplace_back(fault.words);
    return words;
}

std::string reject_words(const RejectCounts& rejects) {
    std::string words;
    if (rejects.damaged() > 0)
        words = fmt::format(
            "{} frames arrived damaged ({} checksum, {} length, {} stuffing, {} too long, "
            "{} unknown) and were not used: look at the cable and its plugs.",
            rejects.damaged(), rejects.bad_checksum, rejects.bad_length, rejects.bad_stuffing,
            rejects.too_long, rejects.unknown_type);
    if (rejects.unmatched > 0)
        words += fmt::format("{}{} good frames came late or twice and were not needed.",
                             words.empty() ? "" : " ", rejects.unmatched);
    return words;
}

} // namespace quaycell
