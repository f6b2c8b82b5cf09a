// A logger on the desk, with a computer that asks it things.
#pragma once

#include "life.h"

#include <doctest/doctest.h>

namespace quaycell::test {

using wire::MessageType;

/// A logger that a computer has just been plugged into.
struct Desk {
    FakeBoard board{};
    Life life{board};
    Desk() { life.plug_in(true); }

    wire::StatusReply status() {
        return life.ask(MessageType::status, wire::StatusRequest{0}).at(0).as<wire::StatusReply>();
    }
    void arm(uint16_t interval_s) {
        life.ask(MessageType::arm, wire::ArmRequest{interval_s, 0, 0});
    }
    std::vector<Message> read(uint32_t first, uint32_t count) {
        return life.ask(MessageType::read, wire::Read{first, count}, 9);
    }
};

inline void check_refused(const std::vector<Message>& replies, MessageType request,
                          wire::RefusalReason reason) {
    REQUIRE(replies.size() == 1);
    REQUIRE(replies[0].type == MessageType::refusal);
    CHECK(replies[0].as<wire::Refusal>().request == static_cast<uint8_t>(request));
    CHECK(replies[0].as<wire::Refusal>().reason == static_cast<uint8_t>(reason));
}

} // namespace quaycell::test
