#include "web/server.h"

#include <arpa/inet.h>
#include <array>
#include <atomic>
#include <doctest/doctest.h>
#include <netinet/in.h>
#include <poll.h>
#include <sys/socket.h>
#include <thread>
#include <unistd.h>

using namespace quaycell;
using namespace quaycell::web;
using namespace std::chrono_literals;
using SteadyClock = std::chrono::steady_clock;

namespace {

/// A server with little patience, in a thread of its own.
class Running {
  public:
    explicit Running(const Bounds& bounds)
        : server_(Server::open({"127.0.0.1", 0}, site(), feed, bounds).value()),
          thread_([this] { server_.run([this] { return stop_.load(); }); }) {}
    Running(const Running&) = delete;
    Running& operator=(const Running&) = delete;
    ~Running() {
        stop_ = true;
        thread_.join();
    }

    std::uint16_t port() const { return server_.port(); }

    LiveFeed feed; // before the server, which refers to it

  private:
    static Site site() {
        return {{"reader", "changer"},
                page_files(),
                {{"/api/slow",
                  {false,
                   [](const Asked&) {
                       std::this_thread::sleep_for(1s);
                       return words(Status::ok, "done");
                   }}}},
                [](const quaycell::Error&) {}};
    }

    Server server_;
    std::atomic<bool> stop_{false};
    std::thread thread_;
};

class Caller {
  public:
    explicit Caller(std::uint16_t port) : socket_(::socket(AF_INET, SOCK_STREAM, 0)), port_(port) {
        sockaddr_in to{};
        to.sin_family = AF_INET;
        to.sin_port = htons(port);
        to.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
        REQUIRE(::connect(socket_, reinterpret_cast<const sockaddr*>(&to), sizeof to) == 0);
    }
    Caller(const Caller&) = delete;
    Caller& operator=(const Caller&) = delete;
    ~Caller() { ::close(socket_); }

    bool say(const std::string& bytes) {
        return ::send(socket_, bytes.data(), bytes.size(), MSG_NOSIGNAL) ==
               static_cast<ssize_t>(bytes.size());
    }

    void ask(const std::string& path, const std::string& more = "") {
        CHECK(say("GET /reader/" + path + " HTTP/1.1\r\nHost: 127.0.0.1:" + std::to_string(port_) +
                  "\r\n" + more + "\r\n"));
    }

    void open_live() {
        ask("api/live", "Connection: Upgrade\r\nUpgrade: websocket\r\nSec-WebSocket-Version: 13\r\n"
                        "Sec-WebSocket-Key: dGhlIHNhbXBsZSBub25jZQ==\r\n"); // of RFC 6455, 1.3
    }

    /// What comes within `wait`; empty where nothing does, or where the server has closed.
    std::string hear(std::chrono::milliseconds wait) {
        pollfd ready{socket_, POLLIN, 0};
        if (::poll(&ready, 1, static_cast<int>(wait.count())) != 1) return "";
        std::array<char, 65536> bytes{};
        const ssize_t count = ::recv(socket_, bytes.data(), bytes.size(), 0);
        closed_ = count <= 0;
        return count > 0 ? std::string(bytes.data(), static_cast<std::size_t>(count)) : "";
    }

    bool is_closed() const { return closed_; }

  private:
    int socket_;
    std::uint16_t port_;
    bool closed_ = false;
};

Bounds impatient() {
    Bounds bounds;
    bounds.request = 1s;
    bounds.answer = 1s;
    bounds.reading = 1s;
    return bounds;
}

} // namespace

TEST_CASE("a sender that takes its time is dropped, however often it sends a little") {
    Running running(impatient());
    Caller slow(running.port());
    const auto began = SteadyClock::now();
    for (int i = 0; i < 40 && !slow.is_closed(); ++i) {
        if (!slow.say(i == 0 ? "GET /reader/ HTTP/1.1\r\nX: " : "x")) break;
        slow.hear(100ms);
    }
    CHECK(slow.is_closed());
    CHECK(SteadyClock::now() - began < 10s);
}

TEST_CASE("whoever says nothing at all is dropped, too") {
    Running running(impatient());
    Caller silent(running.port());
    CHECK(silent.hear(10s).empty());
    CHECK(silent.is_closed());
}

TEST_CASE(
    "a page that neither reads nor answers is dropped, and the others are told all the same") {
    Running running(impatient());
    Caller deaf(running.port());
    Caller other(running.port());
    deaf.open_live();
    other.open_live();
    CHECK(other.hear(5s).starts_with("HTTP/1.1 101"));
    // What comes through is a thousand times what a reading takes: the deaf one's line fills up.
    const std::string much = '"' + std::string(1'000'000, 'x') + '"';
    // That it is there, RFC 6455, 5.5.3; masked with zeros.
    const std::string pong("\x8a\x80\0\0\0\0", 6);
    const auto began = SteadyClock::now();
    for (int i = 0; i < 25; ++i) {
        const auto telling = SteadyClock::now();
        running.feed.tell(much, Instant{std::chrono::seconds{i}}, -900);
        CHECK(SteadyClock::now() - telling < 500ms); // the deaf one is waited for for a second
        while (!other.hear(100ms).empty()) {
        }
        CHECK(other.say(pong));
        if (SteadyClock::now() - began > 6s) break;
    }
    CHECK_FALSE(other.is_closed());
    // Of the deaf one only what lay in its line is left, then the end.
    while (!deaf.hear(500ms).empty()) {
    }
    CHECK(deaf.is_closed());
}

TEST_CASE(
    "an answer that takes a while holds up neither readings nor pages, and only so many wait") {
    Bounds bounds;
    bounds.waiting_work = 2;
    Running running(bounds);
    Caller first(running.port());
    Caller second(running.port());
    Caller third(running.port());
    Caller page(running.port());
    first.ask("api/slow");
    second.ask("api/slow");
    std::this_thread::sleep_for(300ms);
    third.ask("api/slow");
    page.ask("");
    CHECK(page.hear(600ms).starts_with("HTTP/1.1 200"));
    CHECK(third.hear(600ms).starts_with("HTTP/1.1 503"));
    CHECK(first.hear(5s).starts_with("HTTP/1.1 200"));
    CHECK(second.hear(5s).starts_with("HTTP/1.1 200"));
}

TEST_CASE("there are only so many connections of one address, and so many live pages") {
    Bounds bounds;
    bounds.connections_of_one_address = 3;
    bounds.live_pages = 1;
    Running running(bounds);
    Caller first(running.port());
    Caller second(running.port());
    first.open_live();
    CHECK(first.hear(5s).starts_with("HTTP/1.1 101"));
    second.open_live();
    CHECK(second.hear(5s).starts_with("HTTP/1.1 503"));
    {
        Caller third(running.port());
        third.ask("");
        CHECK(third.hear(5s).starts_with("HTTP/1.1 200"));
        Caller fourth(running.port());
        CHECK(fourth.hear(5s).empty());
        CHECK(fourth.is_closed());
    }
    std::this_thread::sleep_for(100ms);
    Caller again(running.port());
    again.ask("");
    CHECK(again.hear(5s).starts_with("HTTP/1.1 200"));
}

TEST_CASE("an address that is not this computer's, or is taken, cannot be listened at") {
    LiveFeed feed;
    const auto open = [&](const Place& place) {
        return Server::open(place, {{"a", "b"}, {}, {}, {}}, feed);
    };
    CHECK(open({"quay.example", 0}).error().code == ErrorCode::wrong_usage);
    CHECK(open({"203.0.113.7", 0}).error().code == ErrorCode::wrong_usage); // RFC 5737, nobody's
    const auto server = open({"127.0.0.1", 0});
    REQUIRE(server);
    CHECK(open({"127.0.0.1", server->port()}).error().code == ErrorCode::in_use);
}
