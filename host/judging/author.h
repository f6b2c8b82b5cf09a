// Who writes something into an archive, and when.
#pragma once

#include "base/time.h"

#include <string>

namespace CLI {
class App;
}

namespace quaycell {

/// Adds --author.
void add_author_option(CLI::App& command, std::string& author);

/// Who was named; else whoever is logged in.
std::string author_from(const std::string& named);

/// By this computer's clock, to the second.
Instant written_now();

} // namespace quaycell
