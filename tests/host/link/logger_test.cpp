#include "link/logger.h"

#include "link/fake_logger.h"

#include <doctest/doctest.h>
#include <random>

using namespace quaycell;
using namespace quaycell::test;

namespace {

const Timing quick{Milliseconds{10}, 4, Milliseconds{10}, Milliseconds{100}};

Logger connected(FakeLogger& fake, LineFault fault = {}) {
    auto logger = Logger::connect(line_to(fake, std::move(fault)), quick);
    REQUIRE(logger);
    return std::move(*logger);
}

std::vector<RecordBytes> read_all(Logger& logger, std::uint32_t first, std::uint32_t count) {
    std::vector<RecordBytes> received;
    std::uint32_t expected = first;
    const auto outcome = logger.read(first, count, [&](std::uint32_t sequence, const auto& bytes) {
        CHECK(sequence == expected++);
        received.push_back(bytes);
        return Result<Done>(Done{});
    });
    REQUIRE(outcome);
    return received;
}

} // namespace

TEST_CASE("connecting tells who the logger is") {
    FakeLogger fake;
    const Logger logger = connected(fake);
    CHECK(logger.hello().device_id == 77);
    CHECK(logger.name() == "test line");
}

TEST_CASE("two versions that do not understand each other say which side is older") {
    FakeLogger fake;
    SUBCASE("the program") {
        fake.hello.protocol = wire::protocol_version + 1;
        const auto logger = Logger::connect(line_to(fake), quick);
        REQUIRE_FALSE(logger);
        CHECK(logger.error().code == ErrorCode::wrong_version);
        CHECK(
            to_text(logger.error()) ==
            "test line: the logger has protocol version 4, this program 3: this program is older. "
            "Install the newest program on this computer.");
    }
    SUBCASE("the logger") {
        fake.hello.protocol = wire::protocol_version - 1;
        const auto logger = Logger::connect(line_to(fake), quick);
        REQUIRE_FALSE(logger);
        CHECK(logger.error().what ==
              "the logger has protocol version 2, this program 3: the logger is older");
    }
    SUBCASE("its records") {
        fake.hello.layout = wire::record_layout + 1;
        const auto logger = Logger::connect(line_to(fake), quick);
        REQUIRE_FALSE(logger);
        CHECK(logger.error().what ==
              "the logger has record layout version 2, this program 1: this program is older");
    }
}

TEST_CASE("a silent line and a line of noise are told apart, with the port's name") {
    FakeLogger fake;
    const auto silent = Logger::connect(line_to(fake, [](Bytes& said) { said.clear(); }), quick);
    REQUIRE_FALSE(silent);
    CHECK(silent.error().code == ErrorCode::silent);
    CHECK(silent.error().where == "test line");

    const auto noise =
        Logger::connect(line_to(fake, [](Bytes& said) { said.assign(20, 0xA5); }), quick);
    REQUIRE_FALSE(noise);
    CHECK(noise.error().code == ErrorCode::no_frames);
}

TEST_CASE("a logger that is told something answers with its status") {
    FakeLogger fake;
    fake.slots = readings(3, 0, 5);
    Logger logger = connected(fake);
    CHECK(logger.status()->next_sequence == 5);
    CHECK(logger.set_clock([] { return 1'777'777'777U; })->unix_s == 1'777'777'777);
    const auto armed = logger.arm(10, wire::FullPolicy::stop_when_full);
    REQUIRE(armed);
    CHECK(armed->interval_s == 10);
    CHECK(armed->state == static_cast<std::uint8_t>(wire::LoggerState::armed));
    CHECK(logger.stop()->state == static_cast<std::uint8_t>(wire::LoggerState::idle));
    CHECK(logger.circuit()->converter_lsb_nv == 62500);
}

TEST_CASE("a clock whose answer is lost is set again to the time of then") {
    FakeLogger fake;
    int answers = 0;
    // Hello passes; the answer to the first order does not.
    Logger logger = connected(fake, [&](Bytes& said) {
        if (++answers == 2) said.clear();
    });
    std::uint32_t time = 1'777'777'777;
    const auto set = logger.set_clock([&] { return ++time; });
    REQUIRE(set);
    CHECK(set->unix_s == 1'777'777'779);
}

TEST_CASE("a line that cannot change its speed stays as it is") {
    FakeLogger fake;
    fake.slots = readings(3, 0, 5);
    Logger logger = connected(fake);
    CHECK(logger.raise_speed());
    CHECK(logger.speed_limit() == 0);
    CHECK(read_all(logger, 0, 5) == fake.slots);
}

TEST_CASE("a logger forgets what all has been seen of, and nothing else") {
    FakeLogger fake;
    fake.slots = readings(3, 0, 5);
    Logger logger = connected(fake);
    const auto refused = logger.forget(4);
    REQUIRE_FALSE(refused);
    CHECK(refused.error().code == ErrorCode::refused);
    CHECK(logger.status()->tail_sequence == 0);
    CHECK(logger.forget(5)->tail_sequence == 5);
}

TEST_CASE("only a whole and valid calibration counts") {
    FakeLogger fake;
    Logger logger = connected(fake);
    CHECK_FALSE(*logger.calibration());

    fake.calibration.a.gain_ppm = 120;
    fake.calibration.layout = wire::calibration_layout;
    fake.calibration.flags = wire::calibration_valid;
    wire::seal(fake.calibration);
    const auto calibration = logger.calibration();
    REQUIRE(calibration);
    REQUIRE(*calibration);
    CHECK((*calibration)->a.gain_ppm == 120);

    fake.calibration.a.gain_ppm = 121;
    CHECK_FALSE(*logger.calibration());
}

TEST_CASE("a refusal arrives in words") {
    FakeLogger fake;
    fake.refused = {static_cast<std::uint8_t>(wire::MessageType::circuit)};
    Logger logger = connected(fake);
    const auto circuit = logger.circuit();
    REQUIRE_FALSE(circuit);
    CHECK(circuit.error().code == ErrorCode::refused);
    CHECK(circuit.error().what == "the logger does not know request 0x08");
    CHECK(circuit.error().where == "test line");
}

TEST_CASE("a read brings every slot, in order, in requests of bounded size") {
    FakeLogger fake;
    fake.first = 1000;
    fake.slots = readings(3, 1000, 2500);
    Logger logger = connected(fake);
    std::uint64_t last_done = 0;
    std::vector<RecordBytes> received;
    const auto outcome = logger.read(
        1000, 2500,
        [&](std::uint32_t, const RecordBytes& bytes) {
            received.push_back(bytes);
            return Result<Done>(Done{});
        },
        [&](std::uint64_t done, std::uint64_t total) {
            CHECK(total == 2500);
            CHECK(done == last_done + 1);
            last_done = done;
        });
    REQUIRE(outcome);
    CHECK(received == fake.slots);
    CHECK(last_done == 2500);
    for (const wire::Read& asked : fake.reads)
        CHECK(asked.count <= 1024);
}

TEST_CASE("a read past the log's end stops there") {
    FakeLogger fake;
    fake.slots = readings(3, 0, 40);
    Logger logger = connected(fake);
    CHECK(read_all(logger, 10, 5000).size() == 30);
    CHECK(read_all(logger, 40, 10).empty());
}

TEST_CASE("slots that are lost on the line are asked for again, and only those") {
    FakeLogger fake;
    fake.slots = readings(3, 0, 70);
    bool lost = false;
    Logger logger = connected(fake, [&](Bytes& said) {
        if (lost || said.size() < 1000) return;
        lost = true;
        said[500] ^= 0x04; // in the third block: slots 14 to 20
    });
    CHECK(read_all(logger, 0, 70) == fake.slots);
    REQUIRE(fake.reads.size() == 2);
    CHECK(fake.reads[1].first_sequence == 14);
    CHECK(fake.reads[1].count == 7);
    CHECK(logger.rejects().damaged() == 1);
}

TEST_CASE("a read survives a line that flips bits, drops and doubles bytes and stalls") {
    for (unsigned seed = 1; seed <= 20; ++seed) {
        CAPTURE(seed);
        std::mt19937 random(seed);
        const auto one_in = [&random](unsigned n) { return random() % n == 0; };
        FakeLogger fake;
        fake.slots = readings(3, 0, 400);
        Logger logger = connected(fake);
        logger = connected(fake, [&](Bytes& said) {
            if (said.size() < 100) return; // requests for single slots get through
            Bytes arriving;
            for (const std::uint8_t byte : said) {
                if (one_in(2000)) continue;
                arriving.push_back(
                    one_in(2000) ? static_cast<std::uint8_t>(byte ^ (1U << random() % 8)) : byte);
                if (one_in(2000)) arriving.push_back(byte);
            }
            if (one_in(5)) arriving.resize(arriving.size() / 2);
            said = arriving;
        });
        CHECK(read_all(logger, 0, 400) == fake.slots);
    }
}

TEST_CASE("a logger that falls silent during a read is given up on, and what came is kept") {
    FakeLogger fake;
    fake.slots = readings(3, 0, 70);
    bool cut = false;
    Logger logger = connected(fake, [&](Bytes& said) {
        if (said.size() > 1000) cut = true;
        if (cut) said.resize(std::min<std::size_t>(said.size(), 1000));
        if (cut && said.size() < 1000) said.clear();
    });
    std::uint32_t received = 0;
    const auto outcome = logger.read(0, 70, [&](std::uint32_t, const RecordBytes&) {
        ++received;
        return Result<Done>(Done{});
    });
    REQUIRE_FALSE(outcome);
    CHECK(outcome.error().code == ErrorCode::silent);
    CHECK(received == 28); // four whole blocks of 234 bytes fit the first 1000
}

TEST_CASE("an error of whoever takes the slots ends the read") {
    FakeLogger fake;
    fake.slots = readings(3, 0, 70);
    Logger logger = connected(fake);
    const auto outcome = logger.read(0, 70, [](std::uint32_t, const RecordBytes&) {
        return Result<Done>(Error{ErrorCode::failed, "disk full", "", ""});
    });
    REQUIRE_FALSE(outcome);
    CHECK(outcome.error().what == "disk full");
    CHECK(logger.status());
}

TEST_CASE("live readings flow until the taker has enough") {
    FakeLogger fake;
    fake.live_readings = 5;
    Logger logger = connected(fake);
    int taken = 0;
    CHECK(logger.live([&](const wire::LiveReading& live) {
        CHECK(live.reading.head.sequence == static_cast<std::uint32_t>(taken));
        return ++taken < 3 ? AfterReading::go_on : AfterReading::end;
    }));
    CHECK(taken == 3);
}

TEST_CASE("a logger that is to look at its leads is told to be live once more") {
    FakeLogger fake;
    fake.live_readings = 5;
    Logger logger = connected(fake);
    int taken = 0;
    CHECK(logger.live([&](const wire::LiveReading&) {
        if (++taken == 2) return AfterReading::look_at_leads;
        return taken < 6 ? AfterReading::go_on : AfterReading::end;
    }));
    CHECK(fake.lives == std::vector<std::uint8_t>{1, 1, 0});
}

TEST_CASE("a logger that goes live but sends nothing is not waited for for ever") {
    FakeLogger fake;
    Logger logger = connected(fake);
    const auto outcome = logger.live([](const wire::LiveReading&) { return AfterReading::go_on; });
    REQUIRE_FALSE(outcome);
    CHECK(outcome.error().code == ErrorCode::silent);
}

namespace {

wire::Calibration to_be_set() {
    wire::Calibration calibration{};
    calibration.layout = wire::calibration_layout;
    calibration.flags = wire::calibration_valid;
    calibration.reference_code_x16 = 16384 * 16;
    calibration.a.gain_ppm = 77;
    wire::seal(calibration);
    return calibration;
}

} // namespace

TEST_CASE("a calibration is written and read back, whatever turn the logger gives it") {
    FakeLogger fake;
    fake.calibration.turn = 8;
    Logger logger = connected(fake);
    const auto held = logger.set_calibration(to_be_set());
    REQUIRE(held);
    CHECK(held->a.gain_ppm == 77);
    CHECK(held->turn == 9);
}

TEST_CASE("a logger that does not keep its calibration is found out") {
    FakeLogger fake;
    fake.forgets_calibration = true;
    Logger logger = connected(fake);
    const auto held = logger.set_calibration(to_be_set());
    REQUIRE_FALSE(held);
    CHECK(held.error().code == ErrorCode::damaged);
}

TEST_CASE("a logger that records is not calibrated, and says what to do first") {
    FakeLogger fake;
    fake.status.state = static_cast<std::uint8_t>(wire::LoggerState::armed);
    Logger logger = connected(fake);
    const auto held = logger.set_calibration(to_be_set());
    REQUIRE_FALSE(held);
    CHECK(held.error().code == ErrorCode::refused);
    CHECK(held.error().what == "the logger is recording");
}
