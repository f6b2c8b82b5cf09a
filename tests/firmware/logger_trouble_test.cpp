#include "life.h"

#include <doctest/doctest.h>

using namespace quaycell;
using namespace quaycell::test;
using wire::MessageType;
using wire::RecordKind;

TEST_CASE("setting the clock moves neither ticks nor the readings that are due") {
    FakeBoard board;
    Life life(board);
    arm(life, 10);
    life.pass(15);
    life.plug_in(true);
    uint32_t set_to = 0;
    SUBCASE("forward") {
        set_to = board.clock.unix_s + 1'000'000;
    }
    SUBCASE("back") {
        set_to = board.clock.unix_s - 1'000'000;
    }
    SUBCASE("by a second") {
        set_to = board.clock.unix_s + 1;
    }
    const uint32_t before = board.clock.unix_s;
    const auto reply = life.ask(MessageType::set_clock, wire::SetClock{set_to}).at(0);
    CHECK(reply.as<wire::StatusReply>().unix_s == set_to);
    CHECK(reply.as<wire::StatusReply>().ticks_s == 15);
    life.plug_in(false);
    life.pass(30);
    CHECK(reading_ticks(board, life) == std::vector<uint32_t>{10, 20, 30, 40});
    const auto set = records_of<wire::ClockSet>(RecordKind::clock_set, board, life);
    REQUIRE(set.size() == 1);
    CHECK(set[0].before_unix_s == before);
    CHECK(set[0].after_unix_s == set_to);
    CHECK(set[0].head.ticks_s == 15);
}

TEST_CASE("a clock that has lost power has no time of day, but its seconds count") {
    FakeBoard board;
    board.clock.lost_power = true;
    Life life(board);
    arm(life, 10);
    life.pass(10);
    CHECK(records_of<wire::Arm>(RecordKind::arm, board, life).at(0).unix_s == 0);
    const auto r = records_of<wire::Reading>(RecordKind::reading, board, life).at(0);
    CHECK(r.head.time_flags == wire::clock_lost_power);
    CHECK(r.head.ticks_s == 10);
    life.plug_in(true);
    life.ask(MessageType::set_clock, wire::SetClock{1'790'000'000});
    const auto set = records_of<wire::ClockSet>(RecordKind::clock_set, board, life).at(0);
    CHECK(set.before_unix_s == 0);
    life.plug_in(false);
    life.pass(10);
    CHECK(records_of<wire::Reading>(RecordKind::reading, board, life).back().head.time_flags == 0);
}

TEST_CASE("without its clock the logger counts watchdog seconds, says so, and goes on") {
    FakeBoard board;
    Life life(board);
    arm(life, 10);
    life.pass(25);
    board.clock.answers = false;
    life.pass(40);
    const auto readings = records_of<wire::Reading>(RecordKind::reading, board, life);
    // The alarm at 30 s finds the clock dead; the seconds since the last look at it, at 24, are
    // lost.
    CHECK(reading_ticks(board, life) == std::vector<uint32_t>{10, 20, 30, 40, 50});
    CHECK(readings.back().head.time_flags == wire::ticks_from_watchdog);
    CHECK(readings.back().board == wire::missing_code);
    CHECK(board.watchdog_s == 1);

    SUBCASE("and when the clock comes back, a record fixes the time anew") {
        board.clock.answers = true;
        life.pass(20);
        CHECK(board.watchdog_s == 8);
        const auto set = records_of<wire::ClockSet>(RecordKind::clock_set, board, life);
        REQUIRE(set.size() == 1);
        CHECK(set[0].by == static_cast<uint8_t>(wire::ClockSetBy::return_of_the_clock));
        CHECK(set[0].before_unix_s == 0);
        CHECK(set[0].after_unix_s != 0);
        CHECK(records_of<wire::Reading>(RecordKind::reading, board, life).back().head.time_flags ==
              0);
    }
}

TEST_CASE("a clock that is dead from the start does not keep the logger from logging") {
    FakeBoard board;
    board.clock.answers = false;
    Life life(board);
    arm(life, 5);
    life.pass(60);
    CHECK(reading_ticks(board, life).size() == 12);
    life.plug_in(true);
    const auto status =
        life.ask(MessageType::status, wire::StatusRequest{0}).at(0).as<wire::StatusReply>();
    CHECK((status.faults & wire::fault_clock) != 0);
    CHECK(status.unix_s == 0);
}

TEST_CASE("a clock whose time jumps does not take the ticks along") {
    FakeBoard board;
    Life life(board);
    arm(life, 10);
    life.pass(15);
    board.clock.unix_s += 5000;
    life.pass(30);
    // The watchdog's 8 s stand in for the 6 s since the clock was last looked at; then it goes on.
    CHECK(reading_ticks(board, life) == std::vector<uint32_t>{10, 20, 30, 40});
    const auto set = records_of<wire::ClockSet>(RecordKind::clock_set, board, life);
    REQUIRE(set.size() == 1);
    CHECK(set[0].by == static_cast<uint8_t>(wire::ClockSetBy::itself));
    CHECK(set[0].before_unix_s == 1'780'000'010);
    CHECK(set[0].after_unix_s - set[0].before_unix_s > 4990);

    SUBCASE("its time of day is not used any more, and flagged, until it is set") {
        life.plug_in(true);
        const auto told =
            life.ask(MessageType::status, wire::StatusRequest{0}).at(0).as<wire::StatusReply>();
        CHECK(told.unix_s == 0);
        CHECK((told.time_flags & wire::clock_jumped) != 0);
        CHECK(records_of<wire::Reading>(RecordKind::reading, board, life).back().head.time_flags ==
              wire::clock_jumped);
        const auto reply = life.ask(MessageType::set_clock, wire::SetClock{1'790'000'000}).at(0);
        CHECK(reply.as<wire::StatusReply>().unix_s == 1'790'000'000);
        CHECK((reply.as<wire::StatusReply>().time_flags & wire::clock_jumped) == 0);
    }
}

TEST_CASE("a clock whose oscillator stands still is told by the watchdog, and readings go on") {
    FakeBoard board;
    Life life(board);
    arm(life, 10);
    life.pass(25);
    board.clock.runs = false;
    life.pass(100);
    const auto readings = records_of<wire::Reading>(RecordKind::reading, board, life);
    CHECK(readings.size() >= 10);
    CHECK(readings.back().head.time_flags == (wire::ticks_from_watchdog | wire::clock_lost_power));
    CHECK(board.watchdog_s == 1);
    life.plug_in(true);
    const auto told =
        life.ask(MessageType::status, wire::StatusRequest{0}).at(0).as<wire::StatusReply>();
    CHECK(told.unix_s == 0);
    CHECK((told.faults & wire::fault_clock) != 0);
    life.plug_in(false);

    SUBCASE("it runs again") {
        board.clock.runs = true;
        life.pass(20);
        CHECK(board.watchdog_s == 8);
        // It stopped since it was set: it counts, and knows no time of day.
        CHECK(records_of<wire::Reading>(RecordKind::reading, board, life).back().head.time_flags ==
              wire::clock_lost_power);
        CHECK(records_of<wire::ClockSet>(RecordKind::clock_set, board, life).empty());
    }
}

TEST_CASE("a single reading of the clock that comes over wrong costs nothing") {
    FakeBoard board;
    Life life(board);
    arm(life, 10);
    for (int i = 0; i < 5; ++i) {
        life.pass(7);
        board.clock.garbled_reads = 1;
    }
    life.pass(5);
    CHECK(reading_ticks(board, life) == std::vector<uint32_t>{10, 20, 30, 40});
    CHECK(records_of<wire::ClockSet>(RecordKind::clock_set, board, life).empty());
}

TEST_CASE("a converter that starts and never ends costs its reading, not the logging") {
    FakeBoard board;
    Life life(board);
    arm(life, 10);
    life.pass(9);
    board.converter.silent = true;
    life.pass(61);
    const auto readings = records_of<wire::Reading>(RecordKind::reading, board, life);
    REQUIRE(readings.size() >= 5);
    CHECK((readings.back().flags & wire::flag_converter_fault) != 0);
    board.converter.silent = false;
    life.pass(30);
    CHECK(records_of<wire::Reading>(RecordKind::reading, board, life).back().cell_a == 14400);
}

TEST_CASE("a clock whose alarm never comes is told by the watchdog, which wakes for it") {
    FakeBoard board;
    Life life(board);
    arm(life, 3);
    life.pass(9);
    board.clock.mute = true;
    life.pass(60);
    CHECK(board.watchdog_s == 1);
    CHECK(reading_ticks(board, life).size() >= 18); // of 22; the watchdog came late at first
    CHECK(records_of<wire::Reading>(RecordKind::reading, board, life).back().head.time_flags == 0);
    life.plug_in(true);
    const auto told =
        life.ask(MessageType::status, wire::StatusRequest{0}).at(0).as<wire::StatusReply>();
    CHECK((told.faults & wire::fault_clock) != 0);
    CHECK(told.unix_s != 0); // its time is good all the same
    life.plug_in(false);
    board.clock.mute = false;
    life.pass(10);
    CHECK(board.watchdog_s == 8);
}

TEST_CASE("a converter that is gone and back between two askings is not told as missing") {
    FakeBoard board;
    Life life(board);
    life.plug_in(true);
    const auto faults = [&] {
        return life.ask(MessageType::hello, wire::Hello{wire::protocol_version, 0})
            .at(0)
            .as<wire::HelloReply>()
            .faults;
    };
    CHECK((faults() & wire::fault_converter) == 0);
    board.converter.answers = false;
    CHECK((faults() & wire::fault_converter) != 0); // though nothing is being recorded
    board.converter.answers = true;
    CHECK((faults() & wire::fault_converter) == 0);
}

TEST_CASE("a converter that says one code whatever it measures is told by its own checks") {
    FakeBoard board;
    for (auto& [input, code] : board.converter.codes)
        code = 14400;
    Life life(board);
    arm(life, 10);
    life.pass(20);
    const auto readings = records_of<wire::Reading>(RecordKind::reading, board, life);
    REQUIRE(readings.size() == 2);
    for (const wire::Reading& reading : readings) {
        CHECK((reading.flags & wire::flag_converter_fault) != 0);
        CHECK(reading.cell_a == 14400); // kept, whoever may want to look at it
    }
    board.converter = FakeConverter{};
    life.plug_in(true);
    life.ask(MessageType::hello, wire::Hello{wire::protocol_version, 0});
    const auto hello = life.ask(MessageType::hello, wire::Hello{wire::protocol_version, 0}).at(0);
    CHECK((hello.as<wire::HelloReply>().faults & wire::fault_converter) == 0);
}

TEST_CASE("a full memory ends the deployment") {
    FakeBoard board(2);
    Life life(board);
    arm(life, 1);
    life.pass(400);
    CHECK(records(board, life).back()[0] == static_cast<uint8_t>(RecordKind::stop));
    CHECK(life.logger().log().full());
    const size_t conversions = board.converter.started.size();
    life.pass(20);
    CHECK(board.converter.started.size() == conversions);
    life.plug_in(true);
    const auto status =
        life.ask(MessageType::status, wire::StatusRequest{0}).at(0).as<wire::StatusReply>();
    CHECK(status.state == static_cast<uint8_t>(wire::LoggerState::full));
    CHECK(status.free_slots == 0);
    CHECK((status.faults & wire::fault_flash) == 0);
    life.plug_in(false);
    CHECK(life.sleep() == logger::Sleep::power_down);
}

TEST_CASE("a flash that is stuck busy is reported, and the logger stays answerable") {
    FakeBoard board;
    Life life(board);
    arm(life, 10);
    life.pass(12);
    board.flash.stuck = true;
    life.pass(60);
    life.plug_in(true);
    const auto status =
        life.ask(MessageType::status, wire::StatusRequest{0}).at(0).as<wire::StatusReply>();
    CHECK((status.faults & wire::fault_flash) != 0);
    CHECK(life.ask(MessageType::stop, wire::StopRequest{0}).at(0).type == MessageType::refusal);
}

TEST_CASE("a flash that is stuck is reported within three seconds, though nothing is due") {
    FakeBoard board;
    Life life(board);
    arm(life, 3600);
    life.pass(12);
    life.plug_in(true);
    board.flash.stuck = true;
    CHECK(life.ask(MessageType::stop, wire::StopRequest{0}).empty());
    for (int second = 0; second < 3; ++second)
        board.clock.tick(); // neither the alarm nor the watchdog comes
    life.receive({});
    const auto replies = life.heard();
    REQUIRE(replies.size() == 1);
    CHECK(replies[0].type == MessageType::refusal);
}

TEST_CASE("a power cut in the Stop record of a full memory: it says full, not recording") {
    FakeBoard board(2);
    try {
        Life life(board);
        arm(life, 1);
        while (life.logger().log().free_slots() != 0)
            life.pass(1);
        board.flash.cut_after(16);
        life.pass(2);
        FAIL("the power was not cut");
    } catch (const PowerCut&) {
    }
    Life life(board);
    life.plug_in(true);
    const auto status =
        life.ask(MessageType::status, wire::StatusRequest{0}).at(0).as<wire::StatusReply>();
    CHECK(status.state == static_cast<uint8_t>(wire::LoggerState::full));
    CHECK((status.faults & wire::fault_flash) == 0);
    life.plug_in(false);
    board.led.blinks.clear();
    life.pass(64);
    CHECK(board.led.blinks == std::vector<uint16_t>(4, 250));
}

TEST_CASE("stopping in the middle of a check: no conversion and no record comes behind the Stop") {
    FakeBoard board;
    Life life(board);
    arm(life, 3600);
    life.plug_in(true);
    board.converter.silent = true; // so that the check at 225 s stays under way
    life.pass(225);
    REQUIRE(board.converter.running.has_value());
    life.ask(MessageType::stop, wire::StopRequest{0});
    const size_t conversions = board.converter.started.size();
    board.converter.silent = false;
    life.pass(100);
    CHECK(board.converter.started.size() == conversions);
    CHECK(kinds(board, life).back() == static_cast<uint8_t>(RecordKind::stop));
}

TEST_CASE("without a flash the logger says so and shows live readings all the same") {
    FakeBoard board(0);
    Life life(board);
    life.plug_in(true);
    const auto hello = life.ask(MessageType::hello, wire::Hello{1, 0}).at(0).as<wire::HelloReply>();
    CHECK(hello.sector_count == 0);
    CHECK((hello.faults & wire::fault_flash) != 0);
    const auto refused = life.ask(MessageType::arm, wire::ArmRequest{10, 0, 0}).at(0);
    CHECK(refused.as<wire::Refusal>().reason ==
          static_cast<uint8_t>(wire::RefusalReason::flash_fault));
    const auto status =
        life.ask(MessageType::live, wire::LiveRequest{1, 0}).at(0).as<wire::StatusReply>();
    CHECK(status.state == static_cast<uint8_t>(wire::LoggerState::idle));
    life.pass(3);
    CHECK(life.heard().size() == 3);
}

TEST_CASE("the lamp blinks short while recording and long when something is wrong") {
    FakeBoard board;
    Life life(board);
    life.pass(60);
    CHECK(board.led.blinks.empty());
    arm(life, 10);
    life.pass(80);
    CHECK(board.led.blinks == std::vector<uint16_t>(10, 1));
    board.led.blinks.clear();
    board.converter.answers = false;
    life.pass(96);
    CHECK(board.led.blinks.size() >= 5);
    CHECK(board.led.blinks.back() == 250);
}
