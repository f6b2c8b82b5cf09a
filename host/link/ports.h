// The serial ports of this computer, without opening any of them.
#pragma once

#include "base/result.h"

#include <cstdint>
#include <filesystem>
#include <optional>
#include <string>
#include <vector>

namespace quaycell {

struct PortInfo {
    std::string path;          ///< "/dev/ttyUSB0": may change from plug-in to plug-in
    std::string by_id;         ///< the stable link to it under /dev/serial/by-id; may be empty
    std::string description;   ///< what the USB device calls itself; may be empty
    std::string serial_number; ///< of the USB adapter; may be empty

    // Only find_loggers() finds out:
    bool answers = false;                ///< a logger answered here
    std::optional<std::uint32_t> device; ///< its number, unless its version is another
    std::optional<Error> trouble;        ///< why the port cannot be opened or its logger not used
};

/// Where the operating system lists its serial ports; it may be absent, for instance in a
/// container.
inline constexpr const char* system_port_list = "/sys/class/tty";

/// Every port the operating system knows, by path; none where it keeps no list. Pseudo-terminals (a
/// simulated logger) are not among them: they are named by their path.
Result<std::vector<PortInfo>>
list_ports(const std::filesystem::path& system_list = system_port_list);

/// A name under which the port is found again after it was unplugged: its by-id link where it has
/// one, else the path itself.
std::string lasting_name(const std::string& path,
                         const std::filesystem::path& by_id = "/dev/serial/by-id");

} // namespace quaycell
