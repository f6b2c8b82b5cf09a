// The host's choice of the line's speed; how the logger keeps its side of it is in the bench's
// tests.
#include "link/fake_logger.h"
#include "link/logger.h"

#include <doctest/doctest.h>

using namespace quaycell;
using namespace quaycell::test;

namespace {

const Timing quick{Milliseconds{10}, 4, Milliseconds{10}, Milliseconds{1900}, Milliseconds{10},
                   Milliseconds{0}};

struct Download {
    FakeLogger fake;
    Download() { fake.slots = readings(3, 0, 3000); }

    Logger connected(SpeedFault fault = {}) {
        auto logger = Logger::connect(fast_line_to(fake, std::move(fault)), quick);
        REQUIRE(logger);
        return std::move(*logger);
    }
    void check_read(Logger& logger, const std::function<void(std::uint32_t)>& at = {}) const {
        std::vector<RecordBytes> received;
        REQUIRE(logger.read(0, 3000, [&](std::uint32_t sequence, const auto& bytes) {
            if (at) at(sequence);
            received.push_back(bytes);
            return Result<Done>(Done{});
        }));
        CHECK(received == fake.slots);
    }
};

SpeedFault above(std::uint32_t baud, LineFault fault) {
    return [baud, fault = std::move(fault)](std::uint32_t now, Bytes& said) {
        if (now > baud) fault(said);
    };
}

void garble(Bytes& said) {
    for (std::uint8_t& byte : said)
        byte = static_cast<std::uint8_t>(byte << 1 | 1);
}

void fall_silent(Bytes& said) {
    said.clear();
}

} // namespace

TEST_CASE_FIXTURE(Download,
                  "a good line runs at the fastest speed, and at the first one afterwards") {
    Logger logger = connected();
    REQUIRE(logger.raise_speed());
    CHECK(logger.speed() == wire::fastest_speed);
    check_read(logger);
    CHECK(logger.speed() == wire::fastest_speed);
    REQUIRE(logger.lower_speed());
    CHECK(fake.speed == 0);
    CHECK(logger.status());
}

TEST_CASE_FIXTURE(Download, "a speed is raised no further than to its limit, and asked for once") {
    Logger logger = connected();
    logger.limit_speed(1);
    REQUIRE(logger.raise_speed());
    REQUIRE(logger.raise_speed());
    CHECK(fake.speeds == std::vector<std::uint8_t>{1});
}

TEST_CASE_FIXTURE(Download, "a logger that refuses every speed is read at the first one") {
    fake.refused = {static_cast<std::uint8_t>(wire::MessageType::set_speed)};
    Logger logger = connected();
    REQUIRE(logger.raise_speed());
    CHECK(logger.speed() == 0);
    check_read(logger);
}

TEST_CASE_FIXTURE(Download, "a line that is silent or garbles above a speed runs at that speed") {
    LineFault fault = fall_silent;
    SUBCASE("silent") {}
    SUBCASE("garbling") {
        fault = garble;
    }
    Logger logger = connected(above(230'400, fault));
    REQUIRE(logger.raise_speed());
    CHECK(logger.speed() == 1);
    CHECK(fake.speeds == std::vector<std::uint8_t>{3, 2, 1});
    check_read(logger);
}

TEST_CASE_FIXTURE(Download, "a line that lets only short answers pass is read at a slower speed") {
    LineFault fault = fall_silent;
    SUBCASE("silent") {}
    SUBCASE("garbling") {
        fault = garble;
    }
    Logger logger = connected(above(460'800, [fault](Bytes& said) {
        if (said.size() > 40) fault(said);
    }));
    REQUIRE(logger.raise_speed());
    CHECK(logger.speed() == 3);
    check_read(logger);
    CHECK(logger.speed_limit() == 2);
}

TEST_CASE_FIXTURE(Download,
                  "a speed at which every third block is damaged is left after the read") {
    Logger logger = connected(above(460'800, [](Bytes& said) {
        for (std::size_t at = 100; at < said.size(); at += 705)
            said[at] ^= 0x10;
    }));
    REQUIRE(logger.raise_speed());
    check_read(logger);
    CHECK(logger.speed() == 0);
    CHECK(logger.speed_limit() == 2);
    REQUIRE(logger.raise_speed());
    CHECK(logger.speed() == 2);
}

TEST_CASE_FIXTURE(Download,
                  "a logger that goes back by itself is found there and read to the end") {
    Logger logger = connected();
    REQUIRE(logger.raise_speed());
    check_read(logger, [&](std::uint32_t sequence) {
        if (sequence == 500) fake.speed = 0;
    });
    CHECK(logger.speed() == 0);
    CHECK(logger.speed_limit() == 2);
}

TEST_CASE_FIXTURE(Download,
                  "a logger that does not hear it is to slow down is found at the first speed") {
    Logger logger = connected();
    REQUIRE(logger.raise_speed());
    fake.speed = 0;
    REQUIRE(logger.lower_speed());
    CHECK(logger.speed() == 0);
    CHECK(logger.status());
}

TEST_CASE_FIXTURE(Download, "a host that was killed at a raised speed finds the logger again") {
    {
        Logger killed = connected();
        REQUIRE(killed.raise_speed());
    }
    CHECK(fake.speed == wire::fastest_speed);
    Logger logger = connected();
    CHECK(logger.status());
    check_read(logger);
}
