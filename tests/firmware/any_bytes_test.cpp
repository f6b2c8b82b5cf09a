// A host that sends anything: whole requests with any content, near ones, and noise.
// QUAYCELL_FRAMES says how many; a sample otherwise.
#include "desk.h"

#include <cstdlib>
#include <random>
#include <string>

using namespace quaycell;
using namespace quaycell::test;

namespace {

class Babble {
  public:
    explicit Babble(uint32_t seed) : chance_(seed) {}

    std::vector<uint8_t> next() {
        std::vector<uint8_t> bytes = frame();
        switch (below(4)) {
        case 0: // near: a few bits are others
            for (uint32_t flips = 1 + below(3); flips != 0; --flips) {
                uint8_t& byte = bytes[below(static_cast<uint32_t>(bytes.size()))];
                byte = static_cast<uint8_t>(byte ^ (1U << below(8)));
            }
            break;
        case 1: // noise
            for (uint8_t& byte : bytes)
                byte = static_cast<uint8_t>(below(256));
            bytes.resize(1 + below(static_cast<uint32_t>(bytes.size())));
            break;
        default: // a request as it should be, whatever it asks for
            break;
        }
        return bytes;
    }

    uint32_t below(uint32_t end) { return static_cast<uint32_t>(chance_() % end); }

  private:
    /// A whole frame of any type, mostly one that is known, with any payload of its length.
    std::vector<uint8_t> frame() {
        const auto type = static_cast<uint8_t>(below(8) == 0 ? below(256) : 1 + below(0x10));
        const uint8_t told = wire::payload_length(type);
        const uint8_t length = told == 0 || told > 32 ? static_cast<uint8_t>(1 + below(32)) : told;
        std::vector<uint8_t> bytes(wire::max_frame);
        uint8_t* payload = wire::frame_payload(bytes.data());
        for (uint8_t i = 0; i < length; ++i)
            payload[i] = static_cast<uint8_t>(below(3) == 0 ? 0 : below(256));
        bytes.resize(wire::finish_frame(bytes.data(), static_cast<MessageType>(type),
                                        static_cast<uint8_t>(below(256)), length));
        return bytes;
    }

    std::mt19937 chance_;
};

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
        life.receive({0});
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
