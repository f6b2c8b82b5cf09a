#include "link/tcp_bridge.h"

#include "link/fake_logger.h"
#include "link/logger.h"

#include <arpa/inet.h>
#include <array>
#include <doctest/doctest.h>
#include <netinet/in.h>
#include <sys/socket.h>
#include <thread>
#include <unistd.h>

using namespace quaycell;
using namespace quaycell::test;

namespace {

/// The far end of a bridge, at a port of this computer that the system chooses.
class Listener {
  public:
    Listener() : socket_(::socket(AF_INET, SOCK_STREAM, 0)) {
        sockaddr_in address{};
        address.sin_family = AF_INET;
        address.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
        socklen_t length = sizeof address;
        auto* const plain = reinterpret_cast<sockaddr*>(&address);
        REQUIRE(::bind(socket_, plain, length) == 0);
        REQUIRE(::listen(socket_, 1) == 0);
        REQUIRE(::getsockname(socket_, plain, &length) == 0);
        name_ = "tcp://127.0.0.1:" + std::to_string(ntohs(address.sin_port));
    }
    ~Listener() { close(); }
    Listener(const Listener&) = delete;
    Listener& operator=(const Listener&) = delete;

    const std::string& name() const { return name_; }
    int accept() const { return ::accept(socket_, nullptr, nullptr); }
    void close() { ::close(std::exchange(socket_, -1)); }

  private:
    int socket_;
    std::string name_;
};

/// Plays the logger until the host hangs up.
void serve(int connection, FakeLogger& fake) {
    std::array<std::uint8_t, 256> bytes;
    for (;;) {
        const ssize_t count = ::read(connection, bytes.data(), bytes.size());
        if (count <= 0) break;
        const Bytes said = fake.hear({bytes.data(), static_cast<std::size_t>(count)});
        REQUIRE(::write(connection, said.data(), said.size()) == static_cast<ssize_t>(said.size()));
    }
    ::close(connection);
}

TimePoint much_later() {
    return std::chrono::steady_clock::now() + std::chrono::seconds{60};
}

} // namespace

TEST_CASE("a logger behind a bridge is read to the last slot") {
    Listener bridge;
    FakeLogger fake;
    fake.slots = readings(3, 0, 2000);
    std::jthread peer([&] { serve(bridge.accept(), fake); });
    auto transport = open_port(bridge.name());
    REQUIRE(transport);
    auto logger = Logger::connect(std::move(*transport));
    REQUIRE(logger);
    CHECK(logger->name() == bridge.name());
    CHECK(logger->raise_speed());
    CHECK(fake.speeds.empty()); // the bridge's own port is not in reach
    std::vector<RecordBytes> received;
    CHECK(logger->read(0, 2000, [&](std::uint32_t, const RecordBytes& bytes) {
        received.push_back(bytes);
        return Result<Done>(Done{});
    }));
    CHECK(received == fake.slots);
    const auto closing = std::move(*logger); // hangs up, which ends the peer
}

TEST_CASE("a bridge that hangs up is as if the logger were unplugged") {
    Listener bridge;
    auto transport = open_port(bridge.name());
    REQUIRE(transport);
    ::close(bridge.accept());
    std::array<std::uint8_t, 8> into{};
    const auto read = (*transport)->read_some(into, much_later());
    REQUIRE_FALSE(read);
    CHECK(read.error().code == ErrorCode::unplugged);
    CHECK(read.error().what == "the bridge hung up");
    CHECK(read.error().where == bridge.name());
}

TEST_CASE("a host where nothing listens says so") {
    Listener bridge;
    bridge.close();
    const auto refused = open_port(bridge.name());
    REQUIRE_FALSE(refused);
    CHECK(refused.error().code == ErrorCode::refused);
    CHECK(refused.error().what.find("nothing listens") != std::string::npos);
    CHECK_FALSE(refused.error().remedy.empty());
}

TEST_CASE("a host that does not exist says so") {
    // RFC 6761: no name under .invalid ever exists.
    const auto missing = open_port("tcp://logger.invalid:4000");
    REQUIRE_FALSE(missing);
    CHECK(missing.error().code == ErrorCode::not_found);
    CHECK(missing.error().where == "tcp://logger.invalid:4000");
}

TEST_CASE("an address that is none is wrong usage, with an example of one") {
    for (const char* name : {"tcp://", "tcp://host", "tcp://:4000", "tcp://host:", "tcp://host:0",
                             "tcp://host:65536", "tcp://host:40x", "tcp://host:-1"}) {
        CAPTURE(name);
        const auto wrong = open_port(name);
        REQUIRE_FALSE(wrong);
        CHECK(wrong.error().code == ErrorCode::wrong_usage);
        CHECK(wrong.error().remedy.find("tcp://192.168.1.20:4000") != std::string::npos);
    }
}
