#include "link/ports.h"

#include <algorithm>
#include <filesystem>
#include <libserialport.h>
#include <map>

namespace quaycell {

namespace {

std::string text_or_empty(const char* text) {
    return text == nullptr ? "" : text;
}

/// Where each link of /dev/serial/by-id leads; empty where the system keeps no such folder.
std::map<std::string, std::string> links_by_port() {
    std::map<std::string, std::string> links;
    std::error_code failure;
    for (const auto& entry : std::filesystem::directory_iterator("/dev/serial/by-id", failure)) {
        const auto port = std::filesystem::canonical(entry.path(), failure);
        if (!failure) links[port.string()] = entry.path().string();
    }
    return links;
}

} // namespace

Result<std::vector<PortInfo>> list_ports() {
    sp_port** found = nullptr;
    if (sp_list_ports(&found) != SP_OK)
        return Error{ErrorCode::failed, "the system does not tell which serial ports it has",
                     "/sys/class/tty", "Name the port yourself, for instance /dev/ttyUSB0."};
    const auto links = links_by_port();
    std::vector<PortInfo> ports;
    for (sp_port** port = found; *port != nullptr; ++port) {
        PortInfo info;
        info.path = text_or_empty(sp_get_port_name(*port));
        info.description = text_or_empty(sp_get_port_description(*port));
        info.serial_number = text_or_empty(sp_get_port_usb_serial(*port));
        if (const auto link = links.find(info.path); link != links.end()) info.by_id = link->second;
        ports.push_back(std::move(info));
    }
    sp_free_port_list(found);
    std::ranges::sort(ports, {}, &PortInfo::path);
    return ports;
}

} // namespace quaycell
