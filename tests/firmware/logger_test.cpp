#include "life.h"

#include <doctest/doctest.h>

using namespace quaycell;
using namespace quaycell::test;
using wire::MessageType;
using wire::RecordKind;

namespace {

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
    const auto boots = records_of<wire::Boot>(RecordKind::boot, board, life);
    REQUIRE(boots.size() == 1);
    CHECK(boots[0].head.boot == 1);
    CHECK(boots[0].head.ticks_s == 0);
    CHECK(boots[0].unix_s == board.clock.unix_s);
    CHECK(boots[0].reset_cause == 0x08);
    CHECK(boots[0].firmware_version == 0x0203);
    CHECK(boots[0].firmware_build == 0xABCDEF01);
    CHECK(boots[0].faults == (wire::fault_identity | wire::fault_calibration));

    Life second(board);
    CHECK(records_of<wire::Boot>(RecordKind::boot, board, second).size() == 2);
    CHECK(kinds(board, second) ==
          kind_list({RecordKind::sector_header, RecordKind::boot, RecordKind::boot}));
    CHECK(second.sleep() == logger::Sleep::power_down);
}

TEST_CASE("a deployment is a header, the Arm record, a check of four pairs, then readings") {
    FakeBoard board;
    Life life(board);
    life.pass(3);
    arm(life, 10);
    life.pass(20);
    CHECK(kinds(board, life) ==
          kind_list({RecordKind::sector_header, RecordKind::arm, RecordKind::check,
                     RecordKind::reading, RecordKind::reading}));
    const auto armed = records_of<wire::Arm>(RecordKind::arm, board, life).at(0);
    CHECK(armed.interval_s == 10);
    CHECK(armed.head.ticks_s == 3);
    CHECK(armed.unix_s == board.clock.unix_s - 20);
    const auto check = records_of<wire::Check>(RecordKind::check, board, life).at(0);
    CHECK(check.count == 4);
    CHECK(check.zero_sum == 4 * 2);
    CHECK(check.reference_sum == 4 * 16386);
}

TEST_CASE("a reading holds what the parts said") {
    FakeBoard board;
    board.sensors.water = 7000;
    Life life(board);
    arm(life, 10);
    life.pass(10);
    const auto r = records_of<wire::Reading>(RecordKind::reading, board, life).at(0);
    CHECK(r.cell_a == 14400);
    CHECK(r.water == 7000);
    CHECK(r.battery == 11000);
    CHECK(r.board == 80);
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
        life.pass(9); // it does not go on for long with a low battery
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
    const auto r = records_of<wire::Reading>(RecordKind::reading, board, life).back();
    CHECK(r.flags == expected);
    CHECK(r.cell_a == expected_code);
}

TEST_CASE("the first seconds after power-up are marked unsettled") {
    FakeBoard board;
    Life life(board);
    arm(life, 1);
    life.pass(8);
    for (const auto& r : records_of<wire::Reading>(RecordKind::reading, board, life))
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
        CHECK(reading_ticks(board, life) == multiples(interval, first, 5 + length));
    }
}

TEST_CASE("sixteen pairs of converter checks make an hourly Check record, whatever the interval") {
    for (const uint16_t interval : std::initializer_list<uint16_t>{1, 600, 3600}) {
        CAPTURE(interval);
        FakeBoard board(512);
        Life life(board);
        arm(life, interval);
        life.pass(3 * 3600);
        const auto checks = records_of<wire::Check>(RecordKind::check, board, life);
        REQUIRE(checks.size() == 4);
        for (size_t i = 1; i < checks.size(); ++i) {
            CHECK(checks[i].count == 16);
            CHECK(checks[i].head.ticks_s == i * 3600);
            CHECK(checks[i].reference_sum == 16 * 16386);
        }
    }
}

TEST_CASE("a ring that has gone round still tells the time, once an hour") {
    FakeBoard board(4);
    Life life(board);
    const uint32_t start_unix_s = board.clock.unix_s;
    arm(life, 60, wire::FullPolicy::overwrite_oldest);
    life.pass(20 * 3600);
    CHECK(records_of<wire::Arm>(RecordKind::arm, board, life).empty());
    const auto checks = records_of<wire::Check>(RecordKind::check, board, life);
    REQUIRE(checks.size() >= 6);
    for (const wire::Check& check : checks)
        CHECK(check.unix_s - check.head.ticks_s == start_unix_s);
}

TEST_CASE("a check of a logger whose clock has no time tells none") {
    FakeBoard board;
    board.clock.lost_power = true;
    Life life(board);
    arm(life, 10);
    CHECK(records_of<wire::Check>(RecordKind::check, board, life).at(0).unix_s == 0);
}

TEST_CASE("a new deployment begins its converter checks anew") {
    FakeBoard board;
    Life life(board);
    arm(life, 10);
    life.pass(1000); // four pairs of the next sixteen
    arm(life, 10);
    const auto checks = records_of<wire::Check>(RecordKind::check, board, life);
    REQUIRE(checks.size() == 1);
    CHECK(checks[0].count == 4);
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
    CHECK(reading_ticks(board, life) == std::vector<uint32_t>{10, 20, 30, 10, 20});
    CHECK(
        kinds(board, life) ==
        kind_list({RecordKind::sector_header, RecordKind::arm, RecordKind::check,
                   RecordKind::reading, RecordKind::reading, RecordKind::reading, RecordKind::boot,
                   RecordKind::check, RecordKind::reading, RecordKind::reading}));
}
