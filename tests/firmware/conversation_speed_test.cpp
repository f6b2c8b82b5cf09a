#include "desk.h"

using namespace quaycell;
using namespace quaycell::test;

namespace {

wire::SpeedReply set_speed(Desk& desk, uint8_t speed) {
    return desk.life.ask(MessageType::set_speed, wire::SetSpeed{speed, 0})
        .at(0)
        .as<wire::SpeedReply>();
}

} // namespace

TEST_CASE("a speed that is asked for is repeated, and the line is set to it") {
    Desk desk;
    for (const uint8_t speed : std::vector<uint8_t>{1, 3, 2, 0}) {
        CHECK(set_speed(desk, speed).speed == speed);
        CHECK(desk.board.line.speed == speed);
    }
}

TEST_CASE("a speed that there is not is refused and changes nothing") {
    Desk desk;
    set_speed(desk, 2);
    check_refused(desk.life.ask(MessageType::set_speed, wire::SetSpeed{4, 0}),
                  MessageType::set_speed, wire::RefusalReason::bad_argument);
    CHECK(desk.board.line.speed == 2);
}

TEST_CASE("a raised speed lasts as long as it is used every second") {
    Desk desk;
    set_speed(desk, 3);
    for (int i = 0; i < 5; ++i) {
        desk.status();
        desk.life.pass(1);
        CHECK(desk.board.line.speed == 3);
    }
    desk.life.pass(1);
    CHECK(desk.board.line.speed == 0);
}

TEST_CASE("a raised speed that is not confirmed within a second ends") {
    Desk desk;
    set_speed(desk, 1);
    desk.life.pass(1);
    CHECK(desk.board.line.speed == 0);
}

TEST_CASE("pulling the cable ends a raised speed, for the conversation too") {
    Desk desk;
    set_speed(desk, 2);
    desk.life.plug_in(false);
    desk.life.plug_in(true);
    CHECK(desk.board.line.speed == 0);
    CHECK(desk.board.watchdog_s == 8);
    CHECK(set_speed(desk, 2).speed == 2);
    CHECK(desk.board.line.speed == 2);
}

TEST_CASE("broken frames end a raised speed only when there is no good one among them") {
    Desk desk;
    set_speed(desk, 2);
    const std::vector<uint8_t> broken{1, 2, 3, 0};
    for (int i = 0; i < 7; ++i)
        desk.life.receive(broken);
    desk.status();
    for (int i = 0; i < 7; ++i)
        desk.life.receive(broken);
    CHECK(desk.board.line.speed == 2);
    desk.life.receive(broken);
    CHECK(desk.board.line.speed == 0);
}
