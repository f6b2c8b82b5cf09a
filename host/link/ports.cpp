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

/// The links of a folder by where they lead; empty where the system keeps no such folder.
std::map<std::string, std::string> links_by_port(const std::filesystem::path& by_id) {
    std::map<std::string, std::string> links;
    std::error_code failure;
    for (const auto& entry : std::filesystem::directory_iterator(by_id, failure)) {
        const auto port = std::filesystem::canonical(entry.path(), failure);
        if (!failure) links[port.string()] = entry.path().string();
    }
    return links;
}

} // namespace

Result<std::vector<PortInfo>> list_ports(const std::filesystem::path& system_list) {
    std::error_code failure;
    if (!std::filesystem::exists(system_list, failure)) return std::vector<PortInfo>{};
    sp_port** found = nullptr;
    if (sp_list_ports(&found) != SP_OK)
        return Error{ErrorCode::failed, "the system does not tell which serial ports it has",
                     system_list.string(), "Name the port yourself, for instance /dev/ttyUSB0."};
    const auto links = links_by_port("/dev/serial/by-id");
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

std::string lasting_name(const std::string& path, const std::filesystem::path& by_id) {
    // A link that the user named is left as it is: it may be one of these, or one of his own.
    std::error_code failure;
    if (std::filesystem::is_symlink(path, failure)) return path;
    const auto links = links_by_port(by_id);
    const auto link = links.find(path);
    return link == links.end() ? path : link->second;
}

} // namespace quaycell
