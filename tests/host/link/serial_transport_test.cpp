#include "link/logger.h"

#include "link/pseudo_terminal.h"

#include <array>
#include <doctest/doctest.h>
#include <grp.h>
#include <sys/ioctl.h>
#include <sys/stat.h>
#include <termios.h>
#include <thread>

using namespace quaycell;
using namespace quaycell::test;

namespace {

TimePoint soon() {
    return std::chrono::steady_clock::now() + Milliseconds{1};
}
/// Long enough that only a bug ever waits for it.
TimePoint much_later() {
    return std::chrono::steady_clock::now() + std::chrono::seconds{60};
}

std::unique_ptr<Transport> opened(const PseudoTerminal& terminal) {
    auto transport = open_port(terminal.path());
    REQUIRE(transport);
    return std::move(*transport);
}

Bytes read_exactly(Transport& transport, std::size_t count) {
    Bytes all;
    while (all.size() < count) {
        Bytes some(count - all.size());
        const auto read = transport.read_some(some, much_later());
        REQUIRE(read);
        all.insert(all.end(), some.begin(), some.begin() + static_cast<std::ptrdiff_t>(*read));
    }
    return all;
}

} // namespace

TEST_CASE("every byte value passes unchanged in both directions") {
    const PseudoTerminal terminal;
    const auto transport = opened(terminal);
    Bytes all(256);
    for (std::size_t i = 0; i < all.size(); ++i)
        all[i] = static_cast<std::uint8_t>(i);
    terminal.say(all);
    CHECK(read_exactly(*transport, 256) == all);
    REQUIRE(transport->write_all(all));
    Bytes heard;
    while (heard.size() < all.size()) {
        const Bytes some = terminal.hear();
        heard.insert(heard.end(), some.begin(), some.end());
    }
    CHECK(heard == all);
}

TEST_CASE("the line is set to 115200 baud, raw, and closing it drops no modem line") {
    const PseudoTerminal terminal;
    const int second = ::open(terminal.path().c_str(), O_RDWR | O_NOCTTY);
    REQUIRE(second >= 0);
    termios line{};
    REQUIRE(tcgetattr(second, &line) == 0);
    line.c_cflag |= HUPCL | CSTOPB; // as another program may have left it
    REQUIRE(tcsetattr(second, TCSANOW, &line) == 0);
    const auto transport = opened(terminal);
    REQUIRE(tcgetattr(second, &line) == 0);
    ::close(second);
    CHECK(cfgetispeed(&line) == B115200);
    CHECK((line.c_cflag & (HUPCL | CSTOPB)) == 0);
    CHECK((line.c_cflag & CSIZE) == CS8);
    CHECK((line.c_lflag & (ECHO | ICANON | ISIG)) == 0);
}

TEST_CASE("what arrived before the port was opened is thrown away") {
    const PseudoTerminal terminal;
    {
        const auto before =
            opened(terminal); // sets the line raw, so that nothing waits for an Enter
        terminal.say(Bytes{1, 2, 3});
    }
    const auto transport = opened(terminal);
    terminal.say(Bytes{4});
    CHECK(read_exactly(*transport, 1) == Bytes{4});
}

TEST_CASE("a line on which nothing comes gives no bytes and no error at the deadline") {
    const PseudoTerminal terminal;
    const auto transport = opened(terminal);
    std::array<std::uint8_t, 8> into{};
    CHECK(*transport->read_some(into, soon()) == 0);
    terminal.say(Bytes{7});
    CHECK(*transport->read_some(into, much_later()) == 1);
    CHECK(into[0] == 7);
}

TEST_CASE("a logger that is unplugged ends reading and writing with that error") {
    PseudoTerminal terminal;
    const auto transport = opened(terminal);
    terminal.unplug();
    std::array<std::uint8_t, 8> into{};
    const auto read = transport->read_some(into, much_later());
    REQUIRE_FALSE(read);
    CHECK(read.error().code == ErrorCode::unplugged);
    CHECK(read.error().where == transport->name());
    const auto written = transport->write_all(into);
    REQUIRE_FALSE(written);
    CHECK(written.error().code == ErrorCode::unplugged);
}

TEST_CASE("a port that is in use names who holds it") {
    const PseudoTerminal terminal;
    const auto transport = opened(terminal);
    const auto second = open_port(terminal.path());
    REQUIRE_FALSE(second);
    CHECK(second.error().code == ErrorCode::in_use);
    CHECK(second.error().what ==
          "the port is in use by process " + std::to_string(getpid()) + " (link_test)");
}

TEST_CASE("a port that was closed can be opened again") {
    const PseudoTerminal terminal;
    { const auto transport = opened(terminal); }
    CHECK(open_port(terminal.path()));
}

TEST_CASE("a port that does not exist, and what is no port") {
    const auto missing = open_port("/dev/ttyNONE7");
    REQUIRE_FALSE(missing);
    CHECK(missing.error().code == ErrorCode::not_found);
    CHECK(missing.error().where == "/dev/ttyNONE7");
    CHECK_FALSE(missing.error().remedy.empty());
    for (const char* path : {"/etc/hostname", "/dev/null", "/dev"}) {
        CAPTURE(path);
        const auto wrong = open_port(path);
        REQUIRE_FALSE(wrong);
        CHECK(wrong.error().code == ErrorCode::wrong_input);
        CHECK(wrong.error().what == "this is not a serial port");
    }
}

TEST_CASE("without permission it names the group and the command") {
    if (geteuid() != 0) return; // only root can give a port to a group and then be nobody
    const PseudoTerminal terminal;
    const struct group* dialout = getgrnam("dialout");
    REQUIRE(dialout != nullptr);
    REQUIRE(chown(terminal.path().c_str(), 0, dialout->gr_gid) == 0);
    REQUIRE(chmod(terminal.path().c_str(), 0660) == 0);
    constexpr uid_t nobody = 65534;
    REQUIRE(seteuid(nobody) == 0);
    const auto refused = open_port(terminal.path());
    REQUIRE(seteuid(0) == 0);
    REQUIRE_FALSE(refused);
    CHECK(refused.error().code == ErrorCode::no_permission);
    CHECK(
        to_text(refused.error()) ==
        terminal.path() +
            ": cannot open the port: permission denied. The port belongs to group \"dialout\" and "
            "you are not in it. Run: sudo usermod -aG dialout $USER, then log in again.");
}

TEST_CASE("a logger behind a pseudo-terminal is read to the last slot") {
    PseudoTerminal terminal;
    FakeLogger fake;
    fake.slots = readings(3, 0, 300);
    auto transport = opened(terminal);
    std::jthread peer([&] {
        for (Bytes heard = terminal.hear(); !heard.empty(); heard = terminal.hear()) {
            // The end of the line holds 16 KB or so; the program empties it meanwhile.
            const Bytes said = fake.hear(heard);
            for (std::size_t at = 0; at < said.size(); at += 500)
                terminal.say({said.data() + at, std::min<std::size_t>(500, said.size() - at)});
        }
    });
    {
        auto logger = Logger::connect(std::move(transport));
        REQUIRE(logger);
        std::vector<RecordBytes> received;
        CHECK(logger->read(0, 300, [&](std::uint32_t, const RecordBytes& bytes) {
            received.push_back(bytes);
            return Result<Done>(Done{});
        }));
        CHECK(received == fake.slots);
    } // closing the far end lets the peer end
}
