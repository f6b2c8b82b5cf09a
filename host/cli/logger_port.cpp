#include "cli/logger_port.h"

#include "link/find_loggers.h"

#include <array>
#include <CLI/CLI.hpp>
#include <fmt/format.h>
#include <fmt/ranges.h>

namespace quaycell {

void add_port_option(CLI::App& command, std::string& port) {
    command
        .add_option("--port", port,
                    "Serial port, for instance /dev/ttyUSB0; not needed when one logger answers")
        ->type_name("PORT");
}

namespace {

Result<std::string> only_logger() {
    auto ports = list_ports();
    if (!ports) return ports.error();
    find_loggers(*ports);
    std::vector<std::string> paths;
    for (const PortInfo& port : *ports)
        if (port.answers) paths.push_back(port.path);
    if (paths.size() == 1) return paths.front();
    if (paths.empty())
        return Error{ErrorCode::not_found,
                     fmt::format("no logger answers on any of {} serial ports", ports->size()), "",
                     "Plug the logger's cable in, or name the port with --port."};
    return Error{ErrorCode::wrong_usage, "more than one logger answers", "",
                 fmt::format("Name one with --port: {}.", fmt::join(paths, ", "))};
}

} // namespace

Result<Logger> connect_logger(const std::string& port) {
    const Result<std::string> path = port.empty() ? only_logger() : Result<std::string>(port);
    if (!path) return path.error();
    auto transport = open_port(*path);
    if (!transport) return transport.error();
    return Logger::connect(std::move(transport).value());
}

std::string device_name(std::uint32_t device_id) {
    return fmt::format("{:08x}", device_id);
}

std::vector<std::string> fault_words(std::uint8_t faults) {
    struct Fault {
        std::uint8_t bit;
        const char* words;
    };
    constexpr std::array<Fault, 5> known{{
        {wire::fault_converter, "the converter does not answer: no potential is measured"},
        {wire::fault_clock, "the clock chip does not answer: times are rough"},
        {wire::fault_flash, "the memory does not answer: nothing is recorded"},
        {wire::fault_identity, "it has no number of its own yet"},
        {wire::fault_calibration, "it is not calibrated"},
    }};
    std::vector<std::string> words;
    for (const Fault& fault : known)
        if ((faults & fault.bit) != 0) words.emplace_back(fault.words);
    return words;
}

double battery_mv(std::uint16_t sum, const wire::Circuit& circuit) {
    return static_cast<double>(sum) * circuit.battery_full_scale_mv / circuit.sum_full_scale;
}

std::string reject_words(const RejectCounts& rejects) {
    if (rejects.damaged() == 0) return "";
    return fmt::format(
        "{} frames arrived damaged ({} checksum, {} length, {} stuffing, {} too long, "
        "{} unknown) and were asked for again: look at the cable and its plugs.",
        rejects.damaged(), rejects.bad_checksum, rejects.bad_length, rejects.bad_stuffing,
        rejects.too_long, rejects.unknown_type);
}

} // namespace quaycell
