// Finding and opening the logger that a command talks to.
#pragma once

#include "base/result.h"
#include "link/logger.h"

#include <string>

namespace CLI {
class App;
}

namespace quaycell {

/// Adds --port.
void add_port_option(CLI::App& command, std::string& port);

/// Connects to the logger on `port`; where that is empty, to the only one that answers.
Result<Logger> connect_logger(const std::string& port);

/// The name a logger is called by: its number in hexadecimal, as on its label.
std::string device_name(std::uint32_t device_id);

/// What is wrong with the logger's parts, in words; empty when nothing is.
std::vector<std::string> fault_words(std::uint8_t faults);

/// Battery voltage from its raw sum, [mV].
double battery_mv(std::uint16_t sum, const wire::Circuit& circuit);

/// One line on frames that were damaged on the way; empty when none were.
std::string reject_words(const RejectCounts& rejects);

} // namespace quaycell
