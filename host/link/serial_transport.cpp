// The only file that includes Asio: it costs half a minute to compile.
#include "link/port_error.h"
#include "link/transport.h"

#include "wire/messages.h"

#include <boost/asio/buffer.hpp>
#include <boost/asio/io_context.hpp>
#include <boost/asio/posix/stream_descriptor.hpp>
#include <boost/asio/write.hpp>
#include <fcntl.h>
#include <sys/file.h>
#include <sys/ioctl.h>
#include <sys/stat.h>
#include <sys/sysmacros.h>
#include <termios.h>
#include <unistd.h>

namespace quaycell {

namespace {

namespace asio = boost::asio;

class SerialTransport final : public Transport {
  public:
    SerialTransport(std::string name, int descriptor)
        : name_(std::move(name)), port_(context_, descriptor) {}

    Result<std::size_t> read_some(std::span<std::uint8_t> into, TimePoint deadline) override {
        boost::system::error_code outcome = asio::error::would_block;
        std::size_t count = 0;
        port_.async_read_some(asio::buffer(into.data(), into.size()),
                              [&](const boost::system::error_code& code, std::size_t read) {
                                  outcome = code;
                                  count = read;
                              });
        context_.restart();
        context_.run_until(deadline);
        if (outcome == asio::error::would_block) {
            // Bytes that came between the deadline and this line still arrive through the handler.
            port_.cancel();
            context_.restart();
            context_.run();
        }
        if (outcome == asio::error::operation_aborted) return std::size_t{0};
        if (outcome == asio::error::eof) return line_broke(name_, 0);
        if (outcome) return line_broke(name_, outcome.value());
        return count;
    }

    Result<Done> write_all(std::span<const std::uint8_t> bytes) override {
        boost::system::error_code outcome;
        asio::write(port_, asio::buffer(bytes.data(), bytes.size()), outcome);
        if (outcome) return line_broke(name_, outcome.value());
        return Done{};
    }

    const std::string& name() const override { return name_; }

  private:
    std::string name_;
    asio::io_context context_{1};
    asio::posix::stream_descriptor port_;
};

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
    struct stat status {};
    if (stat(path.c_str(), &status) != 0) return cannot_open(path, errno);
    // Opening a pipe would wait and opening a disk would be dangerous, so look before.
    if (!S_ISCHR(status.st_mode)) return not_a_serial_port(path);
    Descriptor port(::open(path.c_str(), O_RDWR | O_NOCTTY | O_NONBLOCK | O_CLOEXEC));
    if (port.get() < 0) return cannot_open(path, errno);
    if (isatty(port.get()) == 0) return not_a_serial_port(path);
    if (!keep_others_out(port.get(), status) || !set_up_line(port.get()))
        return cannot_open(path, errno);
    return std::unique_ptr<Transport>(std::make_unique<SerialTransport>(path, port.release()));
}

} // namespace quaycell
