#include "judging/author.h"

#include <chrono>
#include <CLI/CLI.hpp>
#include <cstdlib>

namespace quaycell {

void add_author_option(CLI::App& command, std::string& author) {
    command.add_option("--author", author, "Who says so; else whoever is logged in")
        ->type_name("NAME");
}

std::string author_from(const std::string& named) {
    if (!named.empty()) return named;
    for (const char* name : {"LOGNAME", "USER"})
        if (const char* value = std::getenv(name); value != nullptr && *value != 0) return value;
    return "unknown";
}

Instant written_now() {
    return std::chrono::floor<std::chrono::seconds>(std::chrono::system_clock::now());
}

} // namespace quaycell
