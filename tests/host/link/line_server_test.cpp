#include "link/line_server.h"

#include <arpa/inet.h>
#include <chrono>
#include <doctest/doctest.h>
#include <mutex>
#include <poll.h>
#include <sys/socket.h>
#include <thread>
#include <unistd.h>
#include <vector>

using namespace quaycell;

namespace {

/// A reader on this computer.
class Reader {
  public:
    explicit Reader(std::uint16_t port, int receives_bytes = 0)
        : socket_(::socket(AF_INET, SOCK_STREAM, 0)) {
        if (receives_bytes > 0)
            ::setsockopt(socket_, SOL_SOCKET, SO_RCVBUF, &receives_bytes, sizeof receives_bytes);
        sockaddr_in address{};
        address.sin_family = AF_INET;
        address.sin_port = htons(port);
        address.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
        REQUIRE(::connect(socket_, reinterpret_cast<const sockaddr*>(&address), sizeof address) ==
                0);
    }
    ~Reader() { ::close(socket_); }
    Reader(const Reader&) = delete;
    Reader& operator=(const Reader&) = delete;

    /// What comes until so many bytes are there, the line ends or nothing comes for five seconds.
    std::string read(std::size_t most) {
        std::string text;
        char bytes[4096];
        pollfd watched{socket_, POLLIN, 0};
        while (text.size() < most && ::poll(&watched, 1, 5000) > 0) {
            const ssize_t count =
                ::recv(socket_, bytes, std::min(sizeof bytes, most - text.size()), 0);
            if (count <= 0) break;
            text.append(bytes, static_cast<std::size_t>(count));
        }
        return text;
    }

    void say(const std::string& text) const {
        CHECK(::send(socket_, text.data(), text.size(), MSG_NOSIGNAL) ==
              static_cast<ssize_t>(text.size()));
    }

  private:
    int socket_;
};

/// What the server says, from its thread.
class Heard {
  public:
    LineServer::Say listener() {
        return [this](const std::string& words) {
            const std::scoped_lock lock(mutex_);
            words_.push_back(words);
        };
    }
    std::vector<std::string> words() {
        const std::scoped_lock lock(mutex_);
        return words_;
    }
    /// Waits at most ten seconds.
    bool hears(const std::string& part) {
        for (int i = 0; i < 1000; ++i, std::this_thread::sleep_for(std::chrono::milliseconds{10}))
            for (const std::string& each : words())
                if (each.find(part) != std::string::npos) return true;
        return false;
    }

  private:
    std::mutex mutex_;
    std::vector<std::string> words_;
};

} // namespace

TEST_CASE("a reader gets the greeting and then every line, and what it says counts for nothing") {
    Heard heard;
    auto server = LineServer::open({}, heard.listener());
    REQUIRE(server);
    server->greet("time,mv\r\n");
    CHECK_FALSE(server->is_public());
    Reader reader(server->port());
    CHECK(reader.read(9) == "time,mv\r\n");
    reader.say("GET / HTTP/1.1\r\n\r\n");
    server->publish("1\r\n");
    server->publish("2\r\n");
    CHECK(reader.read(6) == "1\r\n2\r\n");
    CHECK(heard.words().empty());
    server->greet("units\r\n");
    CHECK(reader.read(7) == "units\r\n");
    Reader late(server->port());
    CHECK(late.read(16) == "time,mv\r\nunits\r\n");
}

TEST_CASE(
    "of twenty readers one never reads: the others get all of it, and it is let go and told") {
    Heard heard;
    auto server = LineServer::open({}, heard.listener());
    REQUIRE(server);
    server->greet("hello\n");
    const std::uint16_t port = server->port();
    Reader silent(port, 2048);
    std::vector<std::unique_ptr<Reader>> readers;
    for (int i = 0; i < 19; ++i)
        readers.push_back(std::make_unique<Reader>(port));
    for (const auto& reader : readers)
        REQUIRE(reader->read(6) == "hello\n"); // it is known to the server from now on
    // In all far more than server and system hold for one who does not read.
    const std::string line = std::string(999, 'x') + '\n';
    constexpr std::size_t at_once = 10;
    for (int round = 0; round < 40; ++round) {
        for (std::size_t i = 0; i < at_once; ++i)
            server->publish(line);
        for (const auto& reader : readers)
            REQUIRE(reader->read(at_once * line.size()).size() == at_once * line.size());
    }
    CHECK(heard.hears("too slow"));
    CHECK(heard.words().size() == 1);
}

TEST_CASE("publishing waits for nobody, even when nobody reads") {
    Heard heard;
    auto server = LineServer::open({}, heard.listener());
    REQUIRE(server);
    const Reader silent(server->port(), 2048);
    const auto before = std::chrono::steady_clock::now();
    for (int i = 0; i < 2000; ++i)
        server->publish(std::string(1000, 'x'));
    CHECK(std::chrono::steady_clock::now() - before < std::chrono::seconds{2});
}

TEST_CASE("readers that hang up are forgotten, and more than there is room for are told of") {
    Heard heard;
    auto server = LineServer::open({}, heard.listener());
    REQUIRE(server);
    server->greet("hello\n");
    for (std::size_t i = 0; i < 2 * LineServer::most_readers; ++i) {
        Reader reader(server->port());
        REQUIRE(reader.read(6) == "hello\n");
    }
    std::vector<std::unique_ptr<Reader>> readers;
    for (std::size_t i = 0; i < LineServer::most_readers + 1; ++i)
        readers.push_back(std::make_unique<Reader>(server->port()));
    CHECK(heard.hears("readers are served already"));
    CHECK(readers.back()->read(6).empty());
}

TEST_CASE("a port that is taken, or an address of another computer, is refused with the remedy") {
    auto server = LineServer::open({}, [](const std::string&) {});
    REQUIRE(server);
    const auto second = LineServer::open({"127.0.0.1", server->port()}, [](const std::string&) {});
    REQUIRE_FALSE(second);
    CHECK(second.error().code == ErrorCode::in_use);
    // 192.0.2.0/24 is nobody's (RFC 5737).
    const auto elsewhere = LineServer::open({"192.0.2.1", 0}, [](const std::string&) {});
    REQUIRE_FALSE(elsewhere);
    CHECK(elsewhere.error().code == ErrorCode::not_found);
}

TEST_CASE("an address is a port, after a host where others are to read") {
    CHECK(serve_address("10110")->host == "127.0.0.1");
    CHECK(serve_address("10110")->port == 10110);
    CHECK(serve_address("0.0.0.0:10110")->host == "0.0.0.0");
    CHECK(serve_address("[::1]:7")->host == "::1");
    CHECK(serve_address("[::1]:7")->port == 7);
    for (const char* wrong : {"", ":", ":80", "host:", "host", "70000", "80x", "-1", "1.2"}) {
        const auto address = serve_address(wrong);
        REQUIRE_FALSE(address);
        CHECK(address.error().code == ErrorCode::wrong_usage);
    }
    CHECK(LineServer::open(*serve_address("0.0.0.0:0"), [](const std::string&) {})->is_public());
}
