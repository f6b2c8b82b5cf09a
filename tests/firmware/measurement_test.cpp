// What a reading holds, and in which order it is measured.
#include "life.h"

#include <algorithm>
#include <doctest/doctest.h>

using namespace quaycell;
using namespace quaycell::test;
using logger::Input;
using wire::RecordKind;

namespace {

/// What keeps step with the stimulus, so high that it has this code.
logger::Burst response(uint8_t code) {
    logger::Burst burst{};
    constexpr int weights = 5 + 12 + 12 + 5;
    const auto part = static_cast<uint16_t>(code * logger::lock_in_per_code / weights);
    for (int phase = 0; phase < 4; ++phase)
        burst.by_phase[phase] = part;
    return burst;
}

constexpr uint8_t good = 14, drying = 80, open = 211; // 11, 63 and 167 mV

/// A board whose cells answer the stimulus so.
FakeBoard board_with(uint8_t a, uint8_t b) {
    FakeBoard board;
    board.sampler.stimulated[logger::Cell::a] = response(a);
    board.sampler.stimulated[logger::Cell::b] = response(b);
    return board;
}

std::vector<wire::Reading> readings(FakeBoard& board, Life& life) {
    return records_of<wire::Reading>(RecordKind::reading, board, life);
}

} // namespace

TEST_CASE("a reading takes the cells first, then AC, then the stimulus") {
    FakeBoard board = board_with(good, good);
    Life life(board);
    arm(life, 10);
    board.converter.started.clear();
    life.pass(10);
    CHECK(board.converter.started == std::vector<Input>{Input::cell_a, Input::cell_a, Input::cell_a,
                                                        Input::cell_a, Input::cell_b, Input::cell_b,
                                                        Input::cell_b, Input::cell_b});
    REQUIRE(board.sampler.taken.size() == 4);
    for (int i = 0; i < 4; ++i) {
        CHECK(board.sampler.taken[i].cell == (i % 2 == 0 ? logger::Cell::a : logger::Cell::b));
        CHECK(board.sampler.taken[i].stimulus == (i >= 2));
    }
    const wire::Reading first = readings(board, life).at(0);
    CHECK(first.cell_a == 14400);
    CHECK(first.cell_b == 14450);
    CHECK(first.source_a == good);
    CHECK(first.source_b == good);
    life.pass(10);
    CHECK(readings(board, life).at(1).source_a == wire::missing_byte);
    CHECK(readings(board, life).at(1).ac_a != wire::missing_count);
}

TEST_CASE("the mean of four conversions is rounded to the nearest code") {
    struct Codes {
        std::vector<int16_t> taken;
        int16_t mean;
    };
    for (const Codes& codes :
         {Codes{{1, 2, 2, 2}, 2}, Codes{{1, 1, 1, 2}, 1}, Codes{{-1, -2, -2, -2}, -2},
          Codes{{-1, -1, -1, -2}, -1}, Codes{{32766, 32766, 32766, 32766}, 32766},
          Codes{{-32766, -32766, -32766, -32766}, -32766}}) {
        FakeBoard board = board_with(good, open);
        board.converter.in_turn = codes.taken;
        Life life(board);
        arm(life, 10);
        life.pass(10);
        CHECK(readings(board, life).at(0).cell_a == codes.mean);
    }
}

TEST_CASE("AC that its amplifier cuts off is marked, and only in the readings that measured it") {
    FakeBoard board = board_with(good, good);
    board.sampler.quiet[logger::Cell::a].clipped = true;
    Life life(board);
    arm(life, 5);
    life.pass(20);
    for (const wire::Reading& reading : readings(board, life)) {
        const bool measured = reading.ac_a != wire::missing_count;
        CHECK(((reading.flags & wire::flag_ac_clipped_a) != 0) == measured);
        CHECK((reading.flags & wire::flag_ac_clipped_b) == 0);
    }
    CHECK((readings(board, life).at(0).flags & wire::flag_ac_clipped_a) != 0);
}

TEST_CASE("where nothing answers as cell B it is not measured, until something does") {
    FakeBoard board = board_with(good, open);
    Life life(board);
    arm(life, 10);
    life.pass(20);
    CHECK(readings(board, life).at(0).cell_b == 14450); // nobody knew yet
    CHECK(readings(board, life).at(0).source_b == open);
    CHECK(readings(board, life).at(1).cell_b == wire::missing_code);
    CHECK(readings(board, life).at(1).ac_b == wire::missing_count);
    CHECK(readings(board, life).at(1).flags == (wire::flag_uncalibrated | wire::flag_not_good_b));
    board.sampler.stimulated[logger::Cell::b] = response(good);
    life.pass(600);
    CHECK(readings(board, life).back().cell_b == 14450);
}

TEST_CASE("what the stimulus found stands in every reading until the next stimulus") {
    FakeBoard board = board_with(drying, good);
    Life life(board);
    arm(life, 10);
    life.pass(590);
    for (const wire::Reading& reading : readings(board, life))
        CHECK(reading.flags == (wire::flag_uncalibrated | wire::flag_drying_a));
    board.sampler.stimulated[logger::Cell::a] = response(open);
    life.pass(20);
    CHECK(readings(board, life).back().flags == (wire::flag_uncalibrated | wire::flag_not_good_a));
}

TEST_CASE("at one reading a second those that follow a stimulus within a second say so") {
    FakeBoard board = board_with(good, open);
    Life life(board);
    life.pass(6);
    arm(life, 1);
    life.pass(9);
    std::vector<uint32_t> unsettled;
    for (const wire::Reading& reading : readings(board, life))
        if ((reading.flags & wire::flag_unsettled) != 0) unsettled.push_back(reading.head.ticks_s);
    // AC in the first, cell A's stimulus in the second, cell B's in the third.
    CHECK(readings(board, life).at(1).head.ticks_s == 8);
    CHECK(readings(board, life).at(1).source_a == good);
    CHECK(readings(board, life).at(2).source_b == open);
    CHECK(unsettled == std::vector<uint32_t>{9, 10});
}

TEST_CASE("a converter that is gone costs the potential, not the AC") {
    FakeBoard board = board_with(good, open);
    board.converter.answers = false;
    Life life(board);
    arm(life, 10);
    life.pass(10);
    const wire::Reading reading = readings(board, life).at(0);
    CHECK(reading.cell_a == wire::missing_code);
    CHECK((reading.flags & wire::flag_converter_fault) != 0);
    CHECK(reading.ac_a != wire::missing_count);
    CHECK(reading.source_a == good);
}

TEST_CASE("the status tells what the stimulus last found") {
    FakeBoard board = board_with(drying, open);
    Life life(board);
    life.plug_in(true);
    const auto status = [&] {
        return life.ask(wire::MessageType::status, wire::StatusRequest{0})
            .at(0)
            .as<wire::StatusReply>();
    };
    CHECK(status().source_a == wire::missing_byte);
    life.ask(wire::MessageType::live, wire::LiveRequest{1, 0});
    life.pass(4);
    life.heard(); // the live readings
    CHECK(status().source_a == drying);
    CHECK(status().source_b == open);
}

TEST_CASE("a host that turns live on once more has AC and leads looked at with the next readings") {
    FakeBoard board = board_with(good, open);
    Life life(board);
    life.plug_in(true);
    life.ask(wire::MessageType::live, wire::LiveRequest{1, 0});
    life.pass(20);
    life.heard();
    board.sampler.stimulated[logger::Cell::a] = response(open);
    const auto looked = [&] {
        life.pass(4);
        std::vector<uint8_t> found;
        for (const auto& message : life.heard())
            found.push_back(message.as<wire::LiveReading>().reading.source_a);
        return std::ranges::count(found, open) == 1;
    };
    CHECK_FALSE(looked());
    life.ask(wire::MessageType::live, wire::LiveRequest{1, 0});
    CHECK(looked());
    CHECK_FALSE(looked());
}

TEST_CASE("the logger does not go to power-down while it samples") {
    FakeBoard board = board_with(good, open);
    Life life(board);
    board.sampler.begin(logger::Cell::a, false);
    CHECK(life.logger().step({0, false}) == logger::Sleep::idle);
    board.sampler.finish();
    CHECK(life.logger().step({0, false}) == logger::Sleep::power_down);
}
