#include "link/find_loggers.h"

#include "link/logger.h"

#include <thread>

namespace quaycell {

namespace {

bool logger_answers(const std::string& path, const Timing& timing) {
    auto transport = open_port(path);
    if (!transport) return false;
    const auto logger = Logger::connect(std::move(*transport), timing);
    // A logger of another version is a logger all the same.
    return logger || logger.error().code == ErrorCode::wrong_version;
}

} // namespace

void find_loggers(std::vector<PortInfo>& ports, const Timing& timing) {
    std::vector<std::jthread> visits;
    visits.reserve(ports.size());
    for (PortInfo& port : ports)
        visits.emplace_back([&port, &timing] { port.answers = logger_answers(port.path, timing); });
}

} // namespace quaycell
