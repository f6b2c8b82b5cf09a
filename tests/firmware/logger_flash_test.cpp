// A flash that goes away while the logger runs, or is there only later.
#include "desk.h"

#include <algorithm>

using namespace quaycell;
using namespace quaycell::test;

namespace {

constexpr uint32_t look_s = 8; ///< the watchdog's period, after which the logger looks again

struct Stored {
    std::vector<uint32_t> readings{}; ///< ticks
    std::vector<wire::Boot> boots{};
};

/// What a restart would find in the flash.
Stored stored_in(MemoryFlash& flash) {
    flashlog::FlashLog<MemoryFlash> log(flash);
    log.mount(0);
    Stored stored;
    for (uint32_t s = log.tail_sequence(); s != log.next_sequence(); ++s) {
        uint8_t bytes[wire::record_size];
        log.read(s, bytes);
        if (!flashlog::is_whole(bytes, s)) continue;
        if (bytes[0] == static_cast<uint8_t>(wire::RecordKind::reading))
            stored.readings.push_back(wire::from_bytes<wire::Reading>(bytes).head.ticks_s);
        if (bytes[0] == static_cast<uint8_t>(wire::RecordKind::boot))
            stored.boots.push_back(wire::from_bytes<wire::Boot>(bytes));
    }
    return stored;
}

} // namespace

TEST_CASE("a flash that goes away and comes back is gone on with, without a restart") {
    Desk desk;
    desk.arm(10);
    desk.life.pass(65);
    const size_t before = stored_in(desk.board.flash).readings.size();
    CHECK(before >= 5);
    desk.board.flash.there = false;
    desk.life.pass(60);
    CHECK((desk.status().faults & wire::fault_flash) != 0);
    CHECK(desk.status().state == static_cast<uint8_t>(wire::LoggerState::idle));

    desk.board.flash.there = true;
    desk.life.pass(look_s);
    const auto status = desk.status();
    CHECK((status.faults & wire::fault_flash) == 0);
    CHECK(status.state == static_cast<uint8_t>(wire::LoggerState::armed));
    CHECK(status.interval_s == 10);
    desk.life.pass(61);
    const Stored after = stored_in(desk.board.flash);
    CHECK(after.readings.size() >= before + 5);
    CHECK(std::is_sorted(after.readings.begin(), after.readings.end()));
    CHECK(after.readings[before] > 125); // none of those that fell into the absence
    CHECK(after.boots.size() <= 1);      // of the restart that there was
}

TEST_CASE("a flash that fails a record and is back before the next look is written to again") {
    Desk desk;
    desk.arm(10);
    desk.life.pass(25);
    desk.board.flash.there = false;
    desk.life.pass(6); // a reading falls due, no look does
    desk.board.flash.there = true;
    desk.life.pass(look_s + 41);
    CHECK((desk.status().faults & wire::fault_flash) == 0);
    CHECK(desk.status().state == static_cast<uint8_t>(wire::LoggerState::armed));
    CHECK(stored_in(desk.board.flash).readings.back() > 60);
}

TEST_CASE(
    "an armed logger whose flash answers late goes on, and its Boot record says why so late") {
    FakeBoard board;
    {
        Life first(board);
        first.plug_in(true);
        first.ask(MessageType::arm, wire::ArmRequest{10, 0, 0});
        first.pass(30);
    }
    const size_t boots = stored_in(board.flash).boots.size();
    board.flash.there = false;
    Life life(board, 0x01);
    life.pass(40);
    board.flash.there = true;
    life.pass(look_s + 40);
    const Stored stored = stored_in(board.flash);
    REQUIRE(stored.boots.size() == boots + 1);
    CHECK((stored.boots.back().faults & wire::fault_flash) != 0);
    CHECK(stored.boots.back().head.ticks_s >= 40);
    CHECK(stored.readings.back() > 60);
}

TEST_CASE("a flash that is taken out while a host reads ends the stream, and another is mounted") {
    Desk desk;
    desk.arm(1);
    desk.life.pass(300);
    desk.life.plug_in(false);
    desk.board.flash.there = false;
    desk.life.pass(look_s);
    desk.life.plug_in(true);
    const auto replies = desk.read(0, 1000);
    REQUIRE_FALSE(replies.empty());
    CHECK(replies.back().type != MessageType::slot);

    desk.board.flash = MemoryFlash(64); // virgin, and of another size
    desk.board.flash.there = false;
    desk.life.pass(look_s);
    desk.board.flash.there = true;
    desk.life.pass(2 * look_s);
    CHECK((desk.status().faults & wire::fault_flash) == 0);
    CHECK(desk.status().state == static_cast<uint8_t>(wire::LoggerState::idle));
    desk.arm(1);
    desk.life.pass(20);
    CHECK(stored_in(desk.board.flash).readings.size() >= 15);
}
