#include "link/find_loggers.h"

#include "link/pseudo_terminal.h"

#include <doctest/doctest.h>
#include <thread>

using namespace quaycell;
using namespace quaycell::test;

TEST_CASE("of several ports, those with a logger behind them are found") {
    const PseudoTerminal with_logger;
    const PseudoTerminal silent;
    const PseudoTerminal with_newer_logger;
    const auto answer_one_hello = [](const PseudoTerminal& terminal, std::uint8_t protocol) {
        FakeLogger fake;
        fake.hello.protocol = protocol;
        terminal.say(fake.hear(terminal.hear()));
    };
    std::jthread first([&] { answer_one_hello(with_logger, wire::protocol_version); });
    std::jthread second([&] { answer_one_hello(with_newer_logger, wire::protocol_version + 1); });

    std::vector<PortInfo> ports(4);
    ports[0].path = with_logger.path();
    ports[1].path = silent.path();
    ports[2].path = with_newer_logger.path();
    ports[3].path = "/dev/ttyNONE7";
    find_loggers(ports, {.attempts = 1});
    CHECK(ports[0].answers);
    CHECK_FALSE(ports[1].answers);
    CHECK(ports[2].answers);
    CHECK_FALSE(ports[3].answers);

    CHECK(ports[0].device == 77);
    CHECK_FALSE(ports[0].trouble);
    CHECK_FALSE(ports[1].trouble); // a port without a logger is nothing unusual
    CHECK_FALSE(ports[2].device);
    CHECK(ports[2].trouble->code == ErrorCode::wrong_version);
    CHECK(ports[3].trouble->code == ErrorCode::not_found);
}
