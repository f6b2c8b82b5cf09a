// Finding and opening the logger that a command talks to.
#pragma once

#include "base/result.h"
#include "link/logger.h"
#include "link/steady_logger.h"

#include <chrono>
#include <string>
#include <vector>

namespace CLI {
class App;
}

namespace quaycell {

/// Adds --port.
void add_port_option(CLI::App& command, std::string& port);

/// Which loggers a command talks to that can talk to several at once.
struct PortChoice {
    std::vector<std::string> ports; ///< as named; empty: the only one that answers
    bool all = false;               ///< every one that answers

    bool several() const { return all || ports.size() > 1; }
};

/// Adds --port, which may be given more than once, and --all.
void add_port_options(CLI::App& command, PortChoice& choice);

/// The paths of the choice, at least one. Errors: not_found, wrong_usage (several answer).
Result<std::vector<std::string>> chosen_ports(const PortChoice& choice);

/// Adds --give-up-after; `text` is its default.
void add_give_up_option(CLI::App& command, std::string& text);

/// Waits for a lost logger for as long as --give-up-after says, until interrupted(), and lets `say`
/// tell of the loss and of the return. Error: wrong_usage.
Result<Patience> patience_from(const std::string& give_up_after, const std::string& port,
                               const std::function<void(const std::string&)>& say);

/// Connects to the logger on `port`; where that is empty, to the only one that answers.
Result<Logger> connect_logger(const std::string& port);

/// How long the memory lasts at the logger's interval, its hourly Check record counted.
std::chrono::seconds memory_lasts(const wire::StatusReply& status);

/// What is wrong with the logger's parts, in words; empty when nothing is.
std::vector<std::string> fault_words(std::uint8_t faults);

/// One line on frames that were of no use, by reason; empty when all were.
std::string reject_words(const RejectCounts& rejects);

} // namespace quaycell
