// quaycell ports: the serial ports of this computer, and which of them has a logger.
#include "link/ports.h"

#include "cli/command.h"
#include "cli/logger_port.h"
#include "judging/device_name.h"
#include "judging/json_text.h"
#include "link/find_loggers.h"

#include <boost/json.hpp>
#include <CLI/CLI.hpp>
#include <iostream>

namespace quaycell {

namespace {

namespace json = boost::json;

std::string what_is_there(const PortInfo& port) {
    if (port.device) return "logger " + device_name(*port.device);
    if (port.answers) return "a logger of another version";
    return port.trouble ? "not opened" : "no logger";
}

Outcome run(bool as_json) {
    auto ports = list_ports();
    if (!ports) return ports.error();
    find_loggers(*ports);
    if (as_json) {
        json::array list;
        for (const PortInfo& port : *ports)
            list.push_back({{"path", port.path},
                            {"by_id", port.by_id},
                            {"description", port.description},
                            {"serial_number", port.serial_number},
                            {"answers", port.answers},
                            {"device", port.device ? json::value(device_name(*port.device))
                                                   : json::value(nullptr)},
                            {"trouble", port.trouble ? json::value(to_text(*port.trouble))
                                                     : json::value(nullptr)}});
        std::cout << to_document({{"ports", list}});
        return Done{};
    }
    for (const PortInfo& port : *ports) {
        std::cout << port.path << "  " << what_is_there(port);
        for (const std::string& detail : {port.description, port.serial_number, port.by_id})
            if (!detail.empty()) std::cout << "  " << detail;
        std::cout << '\n';
        if (port.trouble) std::cerr << to_text(*port.trouble) << '\n';
    }
    std::error_code failure;
    if (!std::filesystem::exists(system_port_list, failure))
        std::cerr << "This system does not tell which serial ports it has: there is no "
                  << system_port_list
                  << ".\nName the port yourself, for instance --port /dev/ttyUSB0.\n";
    else if (ports->empty())
        std::cerr
            << "This computer has no serial port now. Plug the logger's cable in; a simulated\n"
               "logger is not listed, give its path to --port.\n";
    return Done{};
}

} // namespace

void add_ports(CLI::App& program, Action& action) {
    const auto as_json = std::make_shared<bool>(false);
    CLI::App* command =
        program.add_subcommand("ports", "List the serial ports and which of them has a logger");
    command->add_flag("--json", *as_json, "One JSON document");
    command->footer("Every serial port is opened and sent a few bytes, to see who answers.");
    command->callback([as_json, &action] { action = [as_json] { return run(*as_json); }; });
}

} // namespace quaycell
