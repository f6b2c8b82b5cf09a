#include "bench/pty.h"

#include "bench/mcu/firmware.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <cstdlib>
#include <cstring>
#include <fcntl.h>
#include <poll.h>
#include <termios.h>
#include <unistd.h>
#include <utility>

namespace quaycell::bench {

namespace {

constexpr std::size_t most_at_once = 4096;

// A fresh terminal would echo what the logger says back to it, and act on control characters.
void set_raw(const std::filesystem::path& slave) {
    const int descriptor = open(slave.c_str(), O_RDWR | O_NOCTTY);
    termios settings{};
    if (descriptor < 0 || tcgetattr(descriptor, &settings) != 0)
        throw std::runtime_error("cannot open the pseudo-terminal's own slave");
    cfmakeraw(&settings);
    cfsetspeed(&settings, B115200); // where a conversation begins, for a host that sets nothing
    tcsetattr(descriptor, TCSANOW, &settings);
    close(descriptor);
}

} // namespace

Pty::Pty(std::filesystem::path link)
    : link_(std::move(link)), master_(posix_openpt(O_RDWR | O_NOCTTY | O_NONBLOCK | O_CLOEXEC)) {
    if (master_ < 0 || grantpt(master_) != 0 || unlockpt(master_) != 0)
        throw std::runtime_error(fmt::format("no pseudo-terminal: {}", std::strerror(errno)));
    slave_ = ptsname(master_);
    set_raw(slave_);

    std::error_code error;
    if (std::filesystem::is_symlink(link_)) std::filesystem::remove(link_, error);
    std::filesystem::create_symlink(slave_, link_, error);
    if (error) {
        close(master_);
        throw WrongInput(
            fmt::format("{}: cannot be made a link to {}: {}. Give --port a path that does "
                        "not exist yet, in a folder you may write to",
                        link_.string(), slave_.string(), error.message()));
    }
}

Pty::~Pty() {
    std::error_code ignored;
    if (std::filesystem::read_symlink(link_, ignored) == slave_)
        std::filesystem::remove(link_, ignored);
    close(master_);
}

bool Pty::attached() const {
    pollfd state{master_, 0, 0};
    return poll(&state, 1, 0) >= 0 && (state.revents & POLLHUP) == 0;
}

std::uint32_t Pty::baud() const {
    struct Speed {
        speed_t code;
        std::uint32_t baud;
    };
    constexpr std::array<Speed, 8> known{{{B9600, 9600},
                                          {B19200, 19200},
                                          {B38400, 38400},
                                          {B57600, 57600},
                                          {B115200, 115200},
                                          {B230400, 230400},
                                          {B460800, 460800},
                                          {B921600, 921600}}};
    termios settings{};
    tcgetattr(master_, &settings); // on this side, too, they are the slave's
    const speed_t code = cfgetospeed(&settings);
    const auto* const set = std::ranges::find(known, code, &Speed::code);
    // What is not known is no speed of the logger's either: as good as any other wrong one.
    return set == known.end() ? known.front().baud : set->baud;
}

std::vector<std::uint8_t> Pty::receive() {
    std::vector<std::uint8_t> bytes(most_at_once);
    const ssize_t count = read(master_, bytes.data(), bytes.size());
    bytes.resize(count > 0 ? static_cast<std::size_t>(count) : 0);
    return bytes;
}

std::size_t Pty::send(std::span<const std::uint8_t> bytes) {
    const ssize_t count = write(master_, bytes.data(), bytes.size());
    return count > 0 ? static_cast<std::size_t>(count) : 0;
}

void Pty::flush() {
    // What the host did not fetch lies in the slave's queue, which only its own side can empty.
    const int slave = open(slave_.c_str(), O_RDWR | O_NOCTTY | O_NONBLOCK);
    if (slave < 0) return;
    tcflush(slave, TCIOFLUSH);
    close(slave);
    while (!receive().empty()) {
    }
}

} // namespace quaycell::bench
