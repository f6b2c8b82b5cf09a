#include "link/asio_transport.h"
#include "link/port_error.h"
#include "link/tcp_bridge.h"
#include "wire/messages.h"

#include <boost/asio/posix/stream_descriptor.hpp>
#include <fcntl.h>
#include <sys/file.h>
#include <sys/ioctl.h>
#include <sys/stat.h>
#include <sys/sysmacros.h>
#include <termios.h>
#include <unistd.h>

namespace quaycell {

namespace {

using boost::asio::posix::stream_descriptor;

/// Owns a descriptor until a transport takes it.
class Descriptor {
  public:
    explicit Descriptor(int number) : number_(number) {}
    ~Descriptor() {
        if (number_ >= 0) ::close(number_);
    }
    Descriptor(const Descriptor&) = delete;
    Descriptor& operator=(const Descriptor&) = delete;
    int get() const { return number_; }
    int release() { return std::exchange(number_, -1); }

  private:
    int number_;
};

/// Linux keeps the exclusive mark on a pseudo-terminal after a killed program's close, for as long
/// as the other end lives; a real port loses it. These are the device numbers of the former.
bool is_pseudo_terminal(const struct stat& status) {
    return major(status.st_rdev) >= 136 && major(status.st_rdev) <= 143;
}

bool keep_others_out(int descriptor, const struct stat& status) {
    if (flock(descriptor, LOCK_EX | LOCK_NB) != 0) return false;
    return is_pseudo_terminal(status) || ioctl(descriptor, TIOCEXCL) == 0;
}

bool set_up_line(int descriptor) {
    static_assert(wire::baud_rate == 115200, "B115200 below");
    termios line{};
    if (tcgetattr(descriptor, &line) != 0) return false;
    cfmakeraw(&line);
    line.c_cflag |= CLOCAL | CREAD;
    line.c_cflag &= ~static_cast<tcflag_t>(HUPCL | CSTOPB | CRTSCTS);
    line.c_cc[VMIN] = 1;
    line.c_cc[VTIME] = 0;
    return cfsetspeed(&line, B115200) == 0 && tcsetattr(descriptor, TCSANOW, &line) == 0 &&
           tcflush(descriptor, TCIOFLUSH) == 0;
}

} // namespace

Result<std::unique_ptr<Transport>> open_port(const std::string& path) {
    if (is_tcp_bridge(path)) return open_tcp_bridge(path);
    struct stat status {};
    if (stat(path.c_str(), &status) != 0) return cannot_open(path, errno);
    // Opening a pipe would wait and opening a disk would be dangerous, so look before.
    if (!S_ISCHR(status.st_mode)) return not_a_serial_port(path);
    Descriptor port(::open(path.c_str(), O_RDWR | O_NOCTTY | O_NONBLOCK | O_CLOEXEC));
    if (port.get() < 0) return cannot_open(path, errno);
    if (isatty(port.get()) == 0) return not_a_serial_port(path);
    if (!keep_others_out(port.get(), status) || !set_up_line(port.get()))
        return cannot_open(path, errno);
    auto context = std::make_unique<boost::asio::io_context>(1);
    stream_descriptor stream(*context, port.get());
    port.release();
    return std::unique_ptr<Transport>(std::make_unique<AsioTransport<stream_descriptor>>(
        path, std::move(context), std::move(stream), line_broke));
}

} // namespace quaycell
