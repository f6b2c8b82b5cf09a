// A host that sends anything. QUAYCELL_FRAMES says how many frames; a sample otherwise.
#include "babble.h"
#include "desk.h"

#include <cstdlib>
#include <string>

using namespace quaycell;
using namespace quaycell::test;

namespace {

uint32_t frames_wanted() {
    const char* const told = std::getenv("QUAYCELL_FRAMES");
    return told == nullptr ? 20'000 : static_cast<uint32_t>(std::stoul(told));
}

} // namespace

// The flash in memory throws when a slot is programmed twice or anything lies outside it, and a
// logger that never sleeps again is an error too.
TEST_CASE("no bytes from a host hang the logger, harm its log or keep it from answering") {
    constexpr uint32_t frames_a_life = 2000;
    const uint32_t frames = frames_wanted();
    for (uint32_t done = 0; done < frames; done += frames_a_life) {
        CAPTURE(done);
        FakeBoard board(8);
        Life life(board);
        Babble babble(done + 1);
        life.plug_in(true);
        for (uint32_t i = 0; i < frames_a_life && done + i < frames; ++i) {
            life.receive(babble.next());
            if (babble.below(16) == 0) life.pass(1 + babble.below(4));
        }
        // Whatever the last frame left behind goes with its host.
        life.plug_in(false);
        life.plug_in(true);
        life.heard();
        const auto hello = life.ask(MessageType::hello, wire::Hello{wire::protocol_version, 0}, 77);
        REQUIRE_FALSE(hello.empty());
        REQUIRE(hello.back().type == MessageType::hello_reply);
        // Every slot that counts is a whole record under its own number.
        auto& log = life.logger().log();
        for (uint32_t s = log.tail_sequence(); s != log.next_sequence(); ++s) {
            REQUIRE(wire::is_valid_record(board.flash.slot(s)));
            REQUIRE(wire::from_bytes<wire::RecordHead>(board.flash.slot(s)).sequence == s);
        }
        // And it still does what it is for.
        arm(life, 10);
        life.pass(30);
        REQUIRE(reading_ticks(board, life).size() >= 2);
    }
}
