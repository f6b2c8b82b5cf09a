// Cells that run low, and what a logger does when it gets fresh ones.
#include "logger/battery_guard.h"

#include "life.h"

#include <doctest/doctest.h>

using namespace quaycell;
using namespace quaycell::test;
using wire::MessageType;
using wire::RecordKind;

namespace {

constexpr uint8_t brown_out = 0x04;
constexpr uint16_t low = 8400;       // 3384 mV
constexpr uint16_t no_margin = 8564; // 3450 mV

wire::StatusReply status_of(Life& life) {
    life.plug_in(true);
    const auto reply = life.ask(MessageType::status, wire::StatusRequest{0}).at(0);
    life.plug_in(false);
    return reply.as<wire::StatusReply>();
}

uint8_t state_of(Life& life) {
    return status_of(life).state;
}

/// A deployment that has ended because its cells were low.
FakeBoard run_down() {
    FakeBoard board;
    Life life(board);
    arm(life, 10);
    life.pass(15);
    board.sensors.battery = low;
    life.pass(700);
    return board;
}

} // namespace

TEST_CASE("a battery that is low for ten minutes pauses the deployment with a Stop record") {
    FakeBoard board;
    Life life(board);
    arm(life, 10);
    life.pass(15);
    board.sensors.battery = low;
    life.pass(600); // low since the reading at 20
    CHECK(records_of<wire::Stop>(RecordKind::stop, board, life).empty());
    CHECK((records_of<wire::Reading>(RecordKind::reading, board, life).back().flags &
           wire::flag_low_battery) != 0);
    life.pass(100);
    const auto stop = records_of<wire::Stop>(RecordKind::stop, board, life);
    REQUIRE(stop.size() == 1);
    CHECK(stop[0].reason == static_cast<uint8_t>(wire::StopReason::battery_low));
    CHECK(kinds(board, life).back() == static_cast<uint8_t>(RecordKind::stop));
    CHECK(reading_ticks(board, life).back() == 620);
    CHECK(state_of(life) == static_cast<uint8_t>(wire::LoggerState::idle));
}

TEST_CASE("of rare readings three have to be low") {
    FakeBoard board;
    Life life(board);
    arm(life, 600);
    life.pass(700);
    board.sensors.battery = low;
    life.pass(1200);
    CHECK(records_of<wire::Stop>(RecordKind::stop, board, life).empty());
    life.pass(600);
    CHECK(records_of<wire::Stop>(RecordKind::stop, board, life).size() == 1);
}

TEST_CASE("a battery that sags now and then and recovers ends nothing") {
    FakeBoard board;
    Life life(board);
    arm(life, 10);
    for (int i = 0; i < 10; ++i) {
        board.sensors.battery = low;
        life.pass(400);
        board.sensors.battery = 8800;
        life.pass(10);
    }
    CHECK(records_of<wire::Stop>(RecordKind::stop, board, life).empty());
}

TEST_CASE("with fresh cells a deployment goes on by itself, and a record says since when") {
    FakeBoard board = run_down();
    board.sensors.battery = 11000;
    {
        Life life(board);
        life.pass(25);
        CHECK(state_of(life) == static_cast<uint8_t>(wire::LoggerState::armed));
        const auto after = records_of<wire::Reading>(RecordKind::reading, board, life).back();
        CHECK(after.head.boot == 2);
        CHECK(after.head.ticks_s == 20);
    }
    Life again(board, 0x08); // and so does every restart after that
    again.pass(15);
    CHECK(records_of<wire::Reading>(RecordKind::reading, board, again).back().head.boot == 3);
}

TEST_CASE("restarts on low cells add nothing to the record that says they are low") {
    FakeBoard board = run_down();
    size_t before = 0;
    for (int i = 0; i < 5; ++i) {
        Life life(board, brown_out);
        life.pass(30);
        CHECK(kinds(board, life).back() == static_cast<uint8_t>(RecordKind::stop));
        if (i == 0) before = kinds(board, life).size();
        CHECK(kinds(board, life).size() == before);
        CHECK(state_of(life) == static_cast<uint8_t>(wire::LoggerState::idle));
    }
}

TEST_CASE("a paused deployment that is stopped or armed anew does not come back with fresh cells") {
    FakeBoard board = run_down();
    board.sensors.battery = no_margin;
    {
        Life life(board);
        life.plug_in(true);
        SUBCASE("stopped") {
            life.ask(MessageType::stop, wire::StopRequest{0});
        }
        SUBCASE("forgotten") {
            const auto next = status_of(life).next_sequence;
            life.plug_in(true);
            life.ask(MessageType::forget, wire::ForgetRequest{next});
        }
    }
    board.sensors.battery = 11000;
    Life life(board);
    life.pass(30);
    CHECK(state_of(life) == static_cast<uint8_t>(wire::LoggerState::idle));
    for (const auto& reading : records_of<wire::Reading>(RecordKind::reading, board, life))
        CHECK(reading.head.boot == 1);
}

TEST_CASE("after a brown-out a deployment goes on by itself, unless the battery has no margin") {
    FakeBoard board;
    {
        Life life(board);
        arm(life, 10);
        life.pass(25);
    }
    SUBCASE("good cells: a spike") {
        Life life(board, brown_out);
        life.pass(25);
        CHECK(reading_ticks(board, life) == std::vector<uint32_t>{10, 20, 10, 20});
    }
    SUBCASE("3.45 V: it would only sag again") {
        board.sensors.battery = no_margin;
        Life life(board, brown_out);
        life.pass(60);
        CHECK(reading_ticks(board, life) == std::vector<uint32_t>{10, 20});
        const auto stop = records_of<wire::Stop>(RecordKind::stop, board, life);
        REQUIRE(stop.size() == 1);
        CHECK(stop[0].reason == static_cast<uint8_t>(wire::StopReason::battery_low));
        CHECK(stop[0].head.boot == 2);
    }
}
