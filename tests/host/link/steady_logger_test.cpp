#include "link/steady_logger.h"

#include "archive/temporary_folder.h"
#include "link/pseudo_terminal.h"

#include <doctest/doctest.h>
#include <thread>

using namespace quaycell;
using namespace quaycell::test;

namespace {

const Timing quick{Milliseconds{200}, 2, Milliseconds{200}, Milliseconds{200}};

/// A socket that loggers can be plugged into, under one name.
struct Socket {
    TemporaryFolder folder;
    std::string name = (folder / "logger").string();
    std::unique_ptr<PseudoTerminal> terminal;

    void plug_in() {
        terminal = std::make_unique<PseudoTerminal>();
        std::filesystem::create_symlink(terminal->path(), name);
    }
    /// When the next request comes: only then has the host had all that was said before.
    void unplug_when_asked() {
        terminal->hear();
        std::filesystem::remove(name);
        terminal->unplug();
    }
    /// Answers so many requests.
    void answer(FakeLogger& fake, int requests) const {
        for (int i = 0; i < requests; ++i)
            terminal->say(fake.hear(terminal->hear()));
    }
};

/// What the user is told, in order.
struct Told {
    std::vector<std::string> words;
    bool stop = false;

    Patience patience(Milliseconds give_up_after) {
        return {give_up_after, [this] { return stop; },
                [this](const Error& loss) { words.push_back("lost: " + loss.what); },
                [this] { words.emplace_back("back"); }};
    }
};
using Words = std::vector<std::string>;

constexpr Milliseconds long_enough{60'000};

} // namespace

TEST_CASE("work that an unplugged logger broke off is done again once it is back") {
    Socket socket;
    socket.plug_in();
    FakeLogger fake;
    std::jthread world([&] {
        socket.answer(fake, 2); // hello and one status
        socket.unplug_when_asked();
        socket.plug_in();
        socket.answer(fake, 2);
    });
    Told told;
    auto logger = SteadyLogger::connect(socket.name, told.patience(long_enough), quick);
    REQUIRE(logger);
    int statuses = 0;
    const auto outcome = logger->keep_at(
        [&](Logger& found) -> Result<Done> {
            for (; statuses < 2; ++statuses) {
                if (const auto status = found.status(); !status) return status.error();
            }
            return Done{};
        },
        [&] { return static_cast<std::uint64_t>(statuses); });
    CHECK(outcome);
    CHECK(statuses == 2);
    CHECK(told.words == Words{"lost: the logger was unplugged", "back"});
}

TEST_CASE("a logger that is back is borne with as before its loss") {
    Socket socket;
    socket.plug_in();
    FakeLogger fake;
    std::jthread world([&] {
        socket.answer(fake, 1); // hello
        socket.unplug_when_asked();
        socket.plug_in();
        socket.answer(fake, 1);
        socket.terminal->hear(); // a request that the line swallows
        socket.answer(fake, 1);
    });
    Told told;
    auto logger = SteadyLogger::connect(socket.name, told.patience(long_enough), quick);
    REQUIRE(logger);
    int begun = 0;
    const auto outcome = logger->keep_at(
        [&](Logger& found) -> Result<Done> {
            ++begun;
            const auto status = found.status();
            if (!status) return status.error();
            return Done{};
        },
        [] { return 0; });
    CHECK(outcome);
    CHECK(begun == 2);
}

TEST_CASE("a logger that does not come back is given up with the reason of its loss, told once") {
    Socket socket;
    socket.plug_in();
    FakeLogger fake;
    std::jthread world([&] {
        socket.answer(fake, 1);
        socket.unplug_when_asked();
    });
    Told told;
    auto logger = SteadyLogger::connect(socket.name, told.patience(Milliseconds{1}), quick);
    REQUIRE(logger);
    const auto outcome =
        logger->keep_at([](Logger& found) -> Result<Done> { return found.status().error(); },
                        [] { return std::uint64_t{0}; });
    REQUIRE_FALSE(outcome);
    CHECK(outcome.error().code == ErrorCode::unplugged);
    CHECK(outcome.error().where == socket.name);
    CHECK(told.words == Words{"lost: the logger was unplugged"});
}

TEST_CASE("without patience a loss is an error at once") {
    Socket socket;
    socket.plug_in();
    FakeLogger fake;
    std::jthread world([&] {
        socket.answer(fake, 1);
        socket.unplug_when_asked();
    });
    Told told;
    auto logger = SteadyLogger::connect(socket.name, told.patience(Milliseconds{0}), quick);
    REQUIRE(logger);
    const auto outcome =
        logger->keep_at([](Logger& found) -> Result<Done> { return found.status().error(); },
                        [] { return std::uint64_t{0}; });
    REQUIRE_FALSE(outcome);
    CHECK(told.words.empty());
}

TEST_CASE("whoever waits can be stopped") {
    Socket socket;
    socket.plug_in();
    FakeLogger fake;
    std::jthread world([&] {
        socket.answer(fake, 1);
        socket.unplug_when_asked();
    });
    Told told;
    auto logger = SteadyLogger::connect(socket.name, told.patience(long_enough), quick);
    REQUIRE(logger);
    told.stop = true;
    const auto outcome =
        logger->keep_at([](Logger& found) -> Result<Done> { return found.status().error(); },
                        [] { return std::uint64_t{0}; });
    REQUIRE_FALSE(outcome);
    CHECK(outcome.error().code == ErrorCode::interrupted);
}

TEST_CASE("another logger in the place of the lost one is not taken for it") {
    Socket socket;
    socket.plug_in();
    FakeLogger fake;
    std::jthread world([&] {
        socket.answer(fake, 1);
        socket.unplug_when_asked();
        socket.plug_in();
        fake.hello.device_id = 78;
        socket.answer(fake, 1);
    });
    Told told;
    auto logger = SteadyLogger::connect(socket.name, told.patience(long_enough), quick);
    REQUIRE(logger);
    const auto outcome =
        logger->keep_at([](Logger& found) -> Result<Done> { return found.status().error(); },
                        [] { return std::uint64_t{0}; });
    REQUIRE_FALSE(outcome);
    CHECK(outcome.error().code == ErrorCode::failed);
    CHECK(outcome.error().what == "another logger is here now: 0000004e instead of 0000004d");
}

TEST_CASE("an error that is no loss is not borne") {
    Socket socket;
    socket.plug_in();
    FakeLogger fake;
    std::jthread world([&] { socket.answer(fake, 1); });
    Told told;
    auto logger = SteadyLogger::connect(socket.name, told.patience(long_enough), quick);
    REQUIRE(logger);
    int times = 0;
    const auto outcome = logger->keep_at(
        [&](Logger&) -> Result<Done> {
            ++times;
            return Error{ErrorCode::failed, "disk full", "", ""};
        },
        [] { return std::uint64_t{0}; });
    REQUIRE_FALSE(outcome);
    CHECK(outcome.error().what == "disk full");
    CHECK(times == 1);
}
