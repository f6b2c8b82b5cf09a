// The serial ports of this computer, without opening any of them.
#pragma once

#include "base/result.h"

#include <string>
#include <vector>

namespace quaycell {

struct PortInfo {
    std::string path;          ///< "/dev/ttyUSB0": may change from plug-in to plug-in
    std::string by_id;         ///< the stable link to it under /dev/serial/by-id; may be empty
    std::string description;   ///< what the USB device calls itself; may be empty
    std::string serial_number; ///< of the USB adapter; may be empty
    bool answers = false;      ///< a logger answered here; only find_loggers() finds out
};

/// Every port the operating system knows, by path. Pseudo-terminals (a simulated logger) are not
/// among them: they are named by their path.
Result<std::vector<PortInfo>> list_ports();

} // namespace quaycell
