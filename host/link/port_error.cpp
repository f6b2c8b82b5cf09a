#include "link/port_error.h"

#include "link/ports.h"

#include <cerrno>
#include <charconv>
#include <cstring>
#include <filesystem>
#include <fmt/format.h>
#include <fstream>
#include <grp.h>
#include <sys/stat.h>

namespace quaycell {

namespace {

namespace fs = std::filesystem;

std::string ports_that_exist() {
    const auto ports = list_ports();
    if (!ports || ports->empty())
        return "This computer has no serial port now. Plug the logger in and try again.";
    std::string names;
    for (const PortInfo& port : *ports)
        names += (names.empty() ? "" : ", ") + port.path;
    return fmt::format("The serial ports there are: {}.", names);
}

Error no_permission(const std::string& path) {
    std::string remedy = "Ask who looks after this computer for access to it.";
    struct stat status {};
    if (stat(path.c_str(), &status) == 0 &&
        (status.st_mode & (S_IRGRP | S_IWGRP)) == (S_IRGRP | S_IWGRP)) {
        const struct group* owner = getgrgid(status.st_gid);
        if (owner != nullptr && status.st_gid != 0)
            remedy =
                fmt::format("The port belongs to group \"{0}\" and you are not in it. Run: sudo "
                            "usermod -aG {0} $USER, then log in again.",
                            owner->gr_name);
    }
    return {ErrorCode::no_permission, "cannot open the port: permission denied", path, remedy};
}

bool holds_open(const fs::path& process, const fs::path& port) {
    std::error_code failure;
    for (const auto& open_file : fs::directory_iterator(process / "fd", failure)) {
        if (fs::read_symlink(open_file.path(), failure) == port && !failure) return true;
    }
    return false;
}

/// "process 1234 (minicom)", or empty: other users' processes do not show what they hold open.
std::string holder(const std::string& path) {
    std::error_code failure;
    const fs::path port = fs::canonical(path, failure);
    for (const auto& process : fs::directory_iterator("/proc", failure)) {
        const std::string number = process.path().filename().string();
        int id = 0;
        const auto [end, wrong] = std::from_chars(number.data(), number.data() + number.size(), id);
        if (wrong != std::errc{} || end != number.data() + number.size()) continue;
        if (!holds_open(process.path(), port)) continue;
        std::string name;
        std::getline(std::ifstream(process.path() / "comm") >> std::ws, name);
        return fmt::format("process {} ({})", id, name);
    }
    return "";
}

Error in_use(const std::string& path) {
    const std::string who = holder(path);
    if (who.empty())
        return {ErrorCode::in_use, "another program is using the port", path,
                "Close the program that talks to it and try again."};
    return {ErrorCode::in_use, fmt::format("the port is in use by {}", who), path,
            "Close that program and try again."};
}

} // namespace

Error cannot_open(const std::string& path, int error_number) {
    switch (error_number) {
    case ENOENT:
        return {ErrorCode::not_found, "there is no such port", path, ports_that_exist()};
    case ENXIO:
    case ENODEV:
        return {ErrorCode::not_found, "nothing is plugged in at this port", path,
                ports_that_exist()};
    case EACCES:
    case EPERM:
        return no_permission(path);
    case EBUSY:
    case EWOULDBLOCK:
        return in_use(path);
    case ENOTTY:
        return not_a_serial_port(path);
    default:
        return {ErrorCode::failed,
                fmt::format("cannot open the port: {}", std::strerror(error_number)), path,
                "Unplug the logger, plug it in again and retry."};
    }
}

Error not_a_serial_port(const std::string& path) {
    return {ErrorCode::wrong_input, "this is not a serial port", path, ports_that_exist()};
}

Error line_broke(const std::string& path, int error_number) {
    switch (error_number) {
    case 0:
    case EIO:
    case ENXIO:
    case ENODEV:
    case EPIPE:
        return {ErrorCode::unplugged, "the logger was unplugged", path,
                "Plug it in again and repeat the command; what has arrived is kept."};
    default:
        return {ErrorCode::unplugged,
                fmt::format("the line broke: {}", std::strerror(error_number)), path,
                "Unplug the logger, plug it in again and repeat the command."};
    }
}

} // namespace quaycell
