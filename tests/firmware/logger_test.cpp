#include "fake_board.h"

#include <doctest/doctest.h>

using namespace quaycell;
using test::FakeBoard;
using test::Life;
using test::Message;
using wire::MessageType;
using wire::RecordKind;

namespace {

void arm(Life& life, uint16_t interval_s,
         wire::FullPolicy policy = wire::FullPolicy::stop_when_full) {
    life.plug_in(true);
    const auto replies =
        life.ask(MessageType::arm, wire::ArmRequest{interval_s, static_cast<uint8_t>(policy), 0});
    REQUIRE(replies.size() == 1);
    REQUIRE(replies[0].type == MessageType::status_reply);
    life.plug_in(false);
}

std::vector<uint32_t> multiples(uint32_t step, uint32_t from, uint32_t to) {
    std::vector<uint32_t> numbers;
    for (uint32_t n = from; n <= to; n += step)
        numbers.push_back(n);
    return numbers;
}

std::vector<uint8_t> kind_list(std::initializer_list<RecordKind> kinds) {
    std::vector<uint8_t> list;
    for (const RecordKind kind : kinds)
        list.push_back(static_cast<uint8_t>(kind));
    return list;
}

} // namespace

TEST_CASE("every restart leaves a Boot record, armed or not") {
    FakeBoard board;
    Life life(board, 0x08);
    const auto boots = test::records_of<wire::Boot>(RecordKind::boot, board, life);
    REQUIRE(boots.size() == 1);
    CHECK(boots[0].head.boot == 1);
    CHECK(boots[0].head.ticks_s == 0);
    CHECK(boots[0].unix_s == board.clock.unix_s);
    CHECK(boots[0].reset_cause == 0x08);
    CHECK(boots[0].firmware_version == 0x0203);
    CHECK(boots[0].firmware_build == 0xABCDEF01);
    CHECK(boots[0].faults == (wire::fault_identity | wire::fault_calibration));

    Life second(board);
    CHECK(test::records_of<wire::Boot>(RecordKind::boot, board, second).size() == 2);
    CHECK(test::kinds(board, second) ==
          kind_list({RecordKind::sector_header, RecordKind::boot, RecordKind::boot}));
    CHECK(second.sleep() == logger::Sleep::power_down);
}

TEST_CASE("a deployment is a header, the Arm record, a check of four pairs, then readings") {
    FakeBoard board;
    Life life(board);
    life.pass(3);
    arm(life, 10);
    life.pass(20);
    CHECK(test::kinds(board, life) ==
          kind_list({RecordKind::sector_header, RecordKind::arm, RecordKind::check,
                     RecordKind::reading, RecordKind::reading}));
    const auto armed = test::records_of<wire::Arm>(RecordKind::arm, board, life).at(0);
    CHECK(armed.interval_s == 10);
    CHECK(armed.head.ticks_s == 3);
    CHECK(armed.unix_s == board.clock.unix_s - 20);
    const auto check = test::records_of<wire::Check>(RecordKind::check, board, life).at(0);
    CHECK(check.count == 4);
    CHECK(check.zero_sum == 4 * 2);
    CHECK(check.reference_sum == 4 * 16386);
}

TEST_CASE("a reading holds what the parts said and marks what was not measured") {
    FakeBoard board;
    board.sensors.water = 7000;
    Life life(board);
    arm(life, 10);
    life.pass(10);
    const auto r = test::records_of<wire::Reading>(RecordKind::reading, board, life).at(0);
    CHECK(r.cell_a == 14400);
    CHECK(r.water == 7000);
    CHECK(r.battery == 11000);
    CHECK(r.board == 80);
    CHECK(r.cell_b == wire::missing_code);
    CHECK(r.ac_a == wire::missing_count);
    CHECK(r.ac_b == wire::missing_count);
    CHECK(r.source_a == wire::missing_byte);
    CHECK(r.source_b == wire::missing_byte);
    CHECK(r.flags == wire::flag_uncalibrated);
    CHECK(r.head.time_flags == 0);
}

TEST_CASE("flags tell what a reading is worth") {
    FakeBoard board;
    Life life(board);
    arm(life, 1);
    uint16_t expected = wire::flag_uncalibrated;
    int16_t expected_code = 14400;
    SUBCASE("saturated upwards") {
        board.converter.codes[logger::Input::cell_a] = INT16_MAX;
        expected |= wire::flag_saturated_a;
        expected_code = INT16_MAX;
    }
    SUBCASE("saturated downwards does not look like missing") {
        board.converter.codes[logger::Input::cell_a] = INT16_MIN;
        expected |= wire::flag_saturated_a;
        expected_code = -INT16_MAX;
    }
    SUBCASE("battery low: 3399 mV of 6600 at 16384") {
        board.sensors.battery = 8437;
        expected |= wire::flag_low_battery;
    }
    SUBCASE("battery just high enough") {
        board.sensors.battery = 8440;
    }
    SUBCASE("converter gone") {
        board.converter.answers = false;
        expected |= wire::flag_converter_fault;
        expected_code = wire::missing_code;
    }
    life.pass(10);
    const auto r = test::records_of<wire::Reading>(RecordKind::reading, board, life).back();
    CHECK(r.flags == expected);
    CHECK(r.cell_a == expected_code);
}

TEST_CASE("the first seconds after power-up are marked unsettled") {
    FakeBoard board;
    Life life(board);
    arm(life, 1);
    life.pass(8);
    for (const auto& r : test::records_of<wire::Reading>(RecordKind::reading, board, life))
        CHECK(((r.flags & wire::flag_unsettled) != 0) == (r.head.ticks_s < 5));
}

TEST_CASE("readings fall on multiples of the interval, one each, none left out") {
    for (const uint16_t interval : std::initializer_list<uint16_t>{1, 7, 10, 60, 3600}) {
        CAPTURE(interval);
        FakeBoard board(512);
        Life life(board);
        life.pass(5);
        arm(life, interval);
        const uint32_t length = interval < 60 ? 3600 * 5 : 86400;
        life.pass(length);
        const uint32_t first = (5 / interval + 1) * interval;
        CHECK(test::reading_ticks(board, life) == multiples(interval, first, 5 + length));
    }
}

TEST_CASE("sixteen pairs of converter checks make an hourly Check record, whatever the interval") {
    for (const uint16_t interval : std::initializer_list<uint16_t>{1, 600, 3600}) {
        CAPTURE(interval);
        FakeBoard board(512);
        Life life(board);
        arm(life, interval);
        life.pass(3 * 3600);
        const auto checks = test::records_of<wire::Check>(RecordKind::check, board, life);
        REQUIRE(checks.size() == 4);
        for (size_t i = 1; i < checks.size(); ++i) {
            CHECK(checks[i].count == 16);
            CHECK(checks[i].head.ticks_s == i * 3600);
            CHECK(checks[i].reference_sum == 16 * 16386);
        }
    }
}

TEST_CASE("a restart in the middle of a deployment goes on by itself") {
    FakeBoard board;
    {
        Life life(board);
        arm(life, 10);
        life.pass(35);
    }
    Life life(board);
    life.pass(25);
    CHECK(test::reading_ticks(board, life) == std::vector<uint32_t>{10, 20, 30, 10, 20});
    CHECK(
        test::kinds(board, life) ==
        kind_list({RecordKind::sector_header, RecordKind::arm, RecordKind::check,
                   RecordKind::reading, RecordKind::reading, RecordKind::reading, RecordKind::boot,
                   RecordKind::check, RecordKind::reading, RecordKind::reading}));
}

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
    CHECK(test::reading_ticks(board, life) == std::vector<uint32_t>{10, 20, 30, 40});
    const auto set = test::records_of<wire::ClockSet>(RecordKind::clock_set, board, life);
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
    CHECK(test::records_of<wire::Arm>(RecordKind::arm, board, life).at(0).unix_s == 0);
    const auto r = test::records_of<wire::Reading>(RecordKind::reading, board, life).at(0);
    CHECK(r.head.time_flags == wire::clock_lost_power);
    CHECK(r.head.ticks_s == 10);
    life.plug_in(true);
    life.ask(MessageType::set_clock, wire::SetClock{1'790'000'000});
    const auto set = test::records_of<wire::ClockSet>(RecordKind::clock_set, board, life).at(0);
    CHECK(set.before_unix_s == 0);
    life.plug_in(false);
    life.pass(10);
    CHECK(
        test::records_of<wire::Reading>(RecordKind::reading, board, life).back().head.time_flags ==
        0);
}

TEST_CASE("without its clock the logger counts watchdog seconds, says so, and goes on") {
    FakeBoard board;
    Life life(board);
    arm(life, 10);
    life.pass(25);
    board.clock.answers = false;
    life.pass(40);
    const auto readings = test::records_of<wire::Reading>(RecordKind::reading, board, life);
    // The alarm at 30 s finds the clock dead; the seconds since the last look at it, at 24, are
    // lost.
    CHECK(test::reading_ticks(board, life) == std::vector<uint32_t>{10, 20, 30, 40, 50});
    CHECK(readings.back().head.time_flags == wire::ticks_from_watchdog);
    CHECK(readings.back().board == wire::missing_code);
    CHECK(board.watchdog_s == 1);

    SUBCASE("and when the clock comes back, a record fixes the time anew") {
        board.clock.answers = true;
        life.pass(20);
        CHECK(board.watchdog_s == 8);
        const auto set = test::records_of<wire::ClockSet>(RecordKind::clock_set, board, life);
        REQUIRE(set.size() == 1);
        CHECK(set[0].before_unix_s == 0);
        CHECK(set[0].after_unix_s != 0);
        CHECK(test::records_of<wire::Reading>(RecordKind::reading, board, life)
                  .back()
                  .head.time_flags == 0);
    }
}

TEST_CASE("a clock that is dead from the start does not keep the logger from logging") {
    FakeBoard board;
    board.clock.answers = false;
    Life life(board);
    arm(life, 5);
    life.pass(60);
    CHECK(test::reading_ticks(board, life).size() == 12);
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
    const auto ticks = test::reading_ticks(board, life);
    CHECK(ticks.back() <= 45);
    CHECK(ticks.size() >= 3);
    CHECK(test::records_of<wire::ClockSet>(RecordKind::clock_set, board, life).size() == 1);
}

TEST_CASE("a converter that starts and never ends costs its reading, not the logging") {
    FakeBoard board;
    Life life(board);
    arm(life, 10);
    life.pass(9);
    board.converter.silent = true;
    life.pass(61);
    const auto readings = test::records_of<wire::Reading>(RecordKind::reading, board, life);
    REQUIRE(readings.size() >= 5);
    CHECK((readings.back().flags & wire::flag_converter_fault) != 0);
    board.converter.silent = false;
    life.pass(30);
    CHECK(test::records_of<wire::Reading>(RecordKind::reading, board, life).back().cell_a == 14400);
}

TEST_CASE("a full memory ends the deployment") {
    FakeBoard board(2);
    Life life(board);
    arm(life, 1);
    life.pass(400);
    CHECK(test::records(board, life).back()[0] == static_cast<uint8_t>(RecordKind::stop));
    CHECK(life.logger().log().full());
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
    life.ask(MessageType::live, wire::LiveRequest{1, 0});
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
    CHECK(board.led.blinks == std::vector<uint16_t>(10, 5));
    board.led.blinks.clear();
    board.converter.answers = false;
    life.pass(96);
    CHECK(board.led.blinks.size() >= 5);
    CHECK(board.led.blinks.back() == 250);
}
