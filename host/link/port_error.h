// Why a port could not be opened or went away, in words that help.
#pragma once

#include "base/result.h"

#include <string>

namespace quaycell {

/// `error_number` is the errno of opening, locking or setting up the port.
Error cannot_open(const std::string& path, int error_number);

Error not_a_serial_port(const std::string& path);

/// `error_number` is the errno of reading or writing; 0 for the end of the line.
Error line_broke(const std::string& path, int error_number);

} // namespace quaycell
