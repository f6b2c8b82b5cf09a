// quaycell status: what a logger is doing, or what an archive holds.
#include "archive/archive.h"
#include "base/time.h"
#include "cli/archive_contents.h"
#include "cli/command.h"
#include "cli/json_text.h"
#include "cli/logger_port.h"
#include "series/conversion.h"

#include <array>
#include <boost/json.hpp>
#include <CLI/CLI.hpp>
#include <cmath>
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

std::string_view state_name(std::uint8_t state) {
    constexpr std::array<std::string_view, 3> names{"idle", "recording", "memory full"};
    return state < names.size() ? names[state] : "unknown";
}

void print_json(const wire::HelloReply& hello, const wire::StatusReply& status,
                const wire::Circuit& circuit) {
    json::array faults;
    for (const std::string& words : fault_words(status.faults))
        faults.emplace_back(words);
    std::cout << to_document(
        {{"device", device_name(hello.device_id)},
         {"firmware",
          fmt::format("{}.{}", hello.firmware_version >> 8, hello.firmware_version & 0xFF)},
         {"firmware_build", fmt::format("{:08x}", hello.firmware_build)},
         {"state", state_name(status.state)},
         {"interval_s", status.interval_s},
         {"clock", status.unix_s == 0 ? json::value(nullptr)
                                      : json::value(to_text(from_unix_s(status.unix_s)))},
         {"up_s", status.ticks_s},
         {"records_held", status.next_sequence - status.tail_sequence},
         {"records_free", status.free_slots},
         {"battery_mv", rounded(battery_mv(status.battery, circuit), 0)},
         {"faults", faults}});
}

void print_words(const wire::HelloReply& hello, const wire::StatusReply& status,
                 const wire::Circuit& circuit) {
    std::cout << fmt::format("logger {}, firmware {}.{} ({:08x})\n", device_name(hello.device_id),
                             hello.firmware_version >> 8, hello.firmware_version & 0xFF,
                             hello.firmware_build);
    std::cout << "state: " << state_name(status.state);
    if (status.state == static_cast<std::uint8_t>(wire::LoggerState::armed))
        std::cout << ", one reading each " << to_text(std::chrono::seconds{status.interval_s});
    std::cout << fmt::format("\nmemory: {} records held, room for {} more",
                             status.next_sequence - status.tail_sequence, status.free_slots);
    if (status.interval_s != 0)
        std::cout << fmt::format(" ({} at this interval)", to_text(memory_lasts(status)));
    const double battery = battery_mv(status.battery, circuit);
    std::cout << "\nclock: "
              << (status.unix_s == 0 ? "not set" : to_text(from_unix_s(status.unix_s)))
              << "\nrunning since: " << to_text(std::chrono::seconds{status.ticks_s})
              << "\nbattery: "
              << (std::isnan(battery) ? "not measured" : fmt::format("{:.2f} V", battery / 1000))
              << '\n';
    for (const std::string& words : fault_words(status.faults))
        std::cout << "fault: " << words << '\n';
}

Outcome tell_archive(const Options& options) {
    auto archive = open_to_read(options.archive);
    if (!archive) return archive.error();
    const auto entries = entries_of(*archive);
    if (!entries) return entries.error();
    json::array list;
    for (const ArchiveEntry& entry : *entries) {
        if (options.as_json)
            list.push_back({{"deployment", entry.number},
                            {"origin", entry.origin},
                            {"from", entry.from ? json::value(to_text(*entry.from)) : nullptr},
                            {"readings", entry.readings}});
        else
            std::cout << fmt::format("{}  {}  from {}  {} readings\n", entry.number, entry.origin,
                                     start_text(entry), entry.readings);
    }
    if (options.as_json) std::cout << to_document({{"deployments", list}});
    if (entries->empty()) std::cerr << options.archive << " holds no readings yet\n";
    return Done{};
}

Outcome tell_logger(const Options& options) {
    auto logger = connect_logger(options.port);
    if (!logger) return logger.error();
    const auto status = logger->status();
    if (!status) return status.error();
    const auto circuit = logger->circuit();
    if (!circuit) return circuit.error();
    (options.as_json ? print_json : print_words)(logger->hello(), *status, *circuit);
    return Done{};
}

} // namespace

void add_status(CLI::App& program, Action& action) {
    const auto options = std::make_shared<Options>();
    CLI::App* command =
        program.add_subcommand("status", "What a logger is doing, or what an archive holds");
    add_port_option(*command, options->port);
    command->add_option("--archive", options->archive, "Tell what this archive holds instead")
        ->type_name("FILE");
    command->add_flag("--json", options->as_json, "One JSON document");
    command->footer("Examples:\n"
                    "  quaycell status --port /dev/ttyUSB0\n"
                    "  quaycell status --archive tern.quaycell");
    command->callback([options, &action] {
        action = [options] {
            return options->archive.empty() ? tell_logger(*options) : tell_archive(*options);
        };
    });
}

} // namespace quaycell
