#include "desk.h"

using namespace quaycell;
using namespace quaycell::test;

TEST_CASE("a read streams blocks of seven, then single slots, then its end") {
    Desk desk;
    desk.arm(1);
    desk.life.pass(20);
    const auto replies = desk.read(128, 16);
    REQUIRE(replies.size() == 5);
    for (const Message& reply : replies)
        CHECK(reply.sequence == 9);
    CHECK(replies[0].as<wire::SlotBlock>().first_sequence == 128);
    CHECK(replies[1].as<wire::SlotBlock>().first_sequence == 135);
    CHECK(replies[2].as<wire::Slot>().first_sequence == 142);
    CHECK(replies[3].as<wire::Slot>().first_sequence == 143);
    CHECK(replies[4].as<wire::ReadEnd>().next_sequence == 144);
    const auto block = replies[0].as<wire::SlotBlock>();
    for (uint32_t i = 0; i < 7; ++i)
        CHECK(std::equal(block.bytes + 32 * i, block.bytes + 32 * (i + 1),
                         desk.board.flash.slot(128 + i)));
}

TEST_CASE("a read gives what stands in the flash, even when it is no record") {
    Desk desk;
    desk.arm(1);
    desk.life.pass(5);
    *desk.board.flash.slot(130) ^= 0x5A;
    const auto slot = desk.read(130, 1).at(0).as<wire::Slot>();
    CHECK(std::equal(slot.bytes, slot.bytes + 32, desk.board.flash.slot(130)));
}

TEST_CASE("a read is clamped to what the log holds, and refused outside it") {
    Desk desk;
    desk.arm(1);
    desk.life.pass(5);
    const auto status = desk.status();
    const uint32_t next = status.next_sequence;
    CHECK(desk.read(next - 1, 1000).back().as<wire::ReadEnd>().next_sequence == next);
    CHECK(desk.read(next - 1, 0xFFFFFFFF).size() == 2);

    // Nothing new: the end at once.
    const auto nothing = desk.read(next, 10);
    REQUIRE(nothing.size() == 1);
    CHECK(nothing[0].as<wire::ReadEnd>().next_sequence == next);
    CHECK(desk.read(128, 0).at(0).as<wire::ReadEnd>().next_sequence == 128);

    check_refused(desk.read(127, 1), MessageType::read, wire::RefusalReason::not_that_old);
    check_refused(desk.read(next + 1, 1), MessageType::read, wire::RefusalReason::not_that_old);
    check_refused(desk.read(0xFFFFFFF0, 0x100), MessageType::read,
                  wire::RefusalReason::not_that_old);
}

TEST_CASE("a new request breaks a stream off") {
    Desk desk;
    desk.arm(1);
    desk.life.pass(60);
    std::vector<uint8_t> both(wire::max_frame);
    both.resize(wire::write_frame(both.data(), MessageType::read, 1, wire::Read{128, 60}));
    std::vector<uint8_t> hello(wire::max_frame);
    hello.resize(wire::write_frame(hello.data(), MessageType::hello, 2, wire::Hello{1, 0}));
    both.insert(both.end(), hello.begin(), hello.end());
    desk.life.receive(both);
    const auto replies = desk.life.heard();
    REQUIRE(replies.size() == 2);
    CHECK(replies[0].type == MessageType::slot_block);
    CHECK(replies[1].type == MessageType::hello_reply);
    CHECK(replies[1].sequence == 2);
}

TEST_CASE("live readings come every second, also from an idle logger, and leave no record") {
    Desk desk;
    CHECK(desk.life.ask(MessageType::live, wire::LiveRequest{1, 0}, 77).at(0).type ==
          MessageType::status_reply);
    desk.life.pass(5);
    const auto live = desk.life.heard();
    REQUIRE(live.size() == 5);
    for (uint32_t i = 0; i < 5; ++i) {
        CHECK(live[i].sequence == 77);
        const auto reading = live[i].as<wire::LiveReading>();
        CHECK(reading.recorded == 0);
        CHECK(reading.reading.head.sequence == i);
        CHECK(reading.reading.cell_a == 14400);
        CHECK(wire::is_valid_record(live[i].payload.data()));
    }
    CHECK(desk.status().next_sequence == 2);
    desk.life.ask(MessageType::live, wire::LiveRequest{0, 0});
    desk.life.pass(5);
    CHECK(desk.life.heard().empty());
}

TEST_CASE("live readings that are also recorded carry their place in the log") {
    Desk desk;
    desk.arm(5);
    desk.life.pass(1);
    desk.life.ask(MessageType::live, wire::LiveRequest{1, 0});
    desk.life.pass(10);
    uint32_t recorded = 0;
    for (const Message& message : desk.life.heard()) {
        const auto live = message.as<wire::LiveReading>();
        if (live.recorded == 0) continue;
        ++recorded;
        CHECK(live.reading.head.ticks_s % 5 == 0);
        CHECK(std::equal(message.payload.begin(), message.payload.begin() + 32,
                         desk.board.flash.slot(live.reading.head.sequence)));
    }
    CHECK(recorded == 2);
}

TEST_CASE("live readings bring what the converter calls zero and makes of its reference") {
    Desk desk;
    desk.life.ask(MessageType::live, wire::LiveRequest{1, 0});
    desk.life.pass(5);
    const auto heard = desk.life.heard();
    REQUIRE(heard.size() >= 4);
    // The first pair is measured after the first reading.
    CHECK(heard[0].as<wire::LiveReading>().zero == wire::missing_code);
    for (std::size_t i = 1; i < heard.size(); ++i) {
        CHECK(heard[i].as<wire::LiveReading>().zero == 2);
        CHECK(heard[i].as<wire::LiveReading>().reference == 16386);
    }
}

TEST_CASE("a host that looks on adds no checks to the log") {
    Desk desk;
    desk.arm(3600);
    desk.life.pass(10);
    const uint32_t logged = desk.status().next_sequence;
    desk.life.ask(MessageType::live, wire::LiveRequest{1, 0});
    desk.life.pass(200);
    desk.life.ask(MessageType::live, wire::LiveRequest{0, 0});
    CHECK(desk.status().next_sequence == logged);
}

TEST_CASE("pulling the cable ends the live readings") {
    Desk desk;
    desk.life.ask(MessageType::live, wire::LiveRequest{1, 0});
    desk.life.plug_in(false);
    desk.life.pass(5);
    CHECK(desk.life.sleep() == logger::Sleep::power_down);
    desk.life.plug_in(true);
    desk.life.pass(5);
    CHECK(desk.life.heard().empty());
}
