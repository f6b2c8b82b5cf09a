#include "link/find_loggers.h"

#include "link/logger.h"

#include <thread>

namespace quaycell {

namespace {

void visit(PortInfo& port, const Timing& timing) {
    auto transport = open_port(port.path);
    if (!transport) {
        port.trouble = transport.error();
        return;
    }
    const auto logger = Logger::connect(std::move(*transport), timing);
    if (logger) {
        port.answers = true;
        port.device = logger->hello().device_id;
    } else if (logger.error().code == ErrorCode::wrong_version) {
        // A logger of another version is a logger all the same.
        port.answers = true;
        port.trouble = logger.error();
    }
}

} // namespace

void find_loggers(std::vector<PortInfo>& ports, const Timing& timing) {
    std::vector<std::jthread> visits;
    visits.reserve(ports.size());
    for (PortInfo& port : ports)
        visits.emplace_back([&port, &timing] { visit(port, timing); });
}

} // namespace quaycell
