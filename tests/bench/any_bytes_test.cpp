// The real firmware, and a host that sends anything. QUAYCELL_FRAMES says how many frames; a sample
// otherwise.
#include "firmware/babble.h"
#include "logger_client.h"

#include <doctest/doctest.h>

#include <cstdlib>
#include <string>

using namespace quaycell::bench;
using namespace std::chrono_literals;
namespace wire = quaycell::wire;

namespace {

std::uint32_t frames_wanted() {
    const char* const told = std::getenv("QUAYCELL_FRAMES");
    return told == nullptr ? 5'000 : static_cast<std::uint32_t>(std::stoul(told));
}

} // namespace

// A crash of the firmware throws, and what the flash does not forgive is a finding.
TEST_CASE("no bytes from a host crash the firmware, harm its log or keep it from recording") {
    const Scenario scenario = read_scenario(QUAYCELL_SCENARIOS "/quiet-berth.toml");
    Board board(read_firmware(QUAYCELL_LOGGER_ELF), scenario);
    LoggerClient host(board);
    quaycell::test::Babble babble(20260504);
    host.plug();
    const std::uint32_t frames = frames_wanted();
    for (std::uint32_t i = 0; i < frames; ++i) {
        board.send(babble.next());
        board.run_for(std::chrono::milliseconds{1 + babble.below(8)});
    }
    CHECK(board.flash().programs() > 50); // or it was not listened to
    host.unplug();
    board.run_for(3s);
    board.take_output();
    host.plug();
    CHECK(host.hello().protocol == wire::protocol_version);
    CHECK(host.hello().faults == 0);
    CHECK(host.arm(1).state == static_cast<std::uint8_t>(wire::LoggerState::armed));
    board.run_for(12s);
    const wire::StatusReply status = host.status();
    std::uint32_t readings = 0;
    for (const DownloadedSlot& slot : host.download(status.tail_sequence, status.next_sequence)) {
        REQUIRE(wire::is_valid_record(slot.bytes.data()));
        if (slot.kind() == wire::RecordKind::reading) ++readings;
    }
    CHECK(readings >= 10);
    CHECK_MESSAGE(board.findings().empty(), board.findings().to_text());
}

TEST_CASE(
    "half a frame of a host that was unplugged does not swallow the next one's first request") {
    Board board(read_firmware(QUAYCELL_LOGGER_ELF),
                read_scenario(QUAYCELL_SCENARIOS "/quiet-berth.toml"));
    LoggerClient host(board);
    host.plug();
    std::array<std::uint8_t, wire::max_frame> frame;
    const auto length =
        wire::write_frame(frame.data(), wire::MessageType::read, 1, wire::Read{1, 1});
    board.send({frame.data(), length / 2U});
    board.run_for(10ms);
    host.unplug();
    host.plug();
    CHECK(host.hello().protocol == wire::protocol_version); // without a zero in front of it
}
