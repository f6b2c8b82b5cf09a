// The real firmware and a flash that goes away, falls dumb and comes back.
#include "logger_client.h"

#include "bench/sea/scenario.h"

#include <doctest/doctest.h>

#include <algorithm>

using namespace quaycell::bench;
using namespace std::chrono_literals;
namespace wire = quaycell::wire;

namespace {

struct Armed {
    Board board{read_firmware(QUAYCELL_LOGGER_ELF),
                read_scenario(QUAYCELL_SCENARIOS "/quiet-berth.toml")};
    LoggerClient host{board};

    Armed() {
        board.run_for(2s);
        host.plug();
        host.arm(1);
        host.unplug();
        board.run_for(30s);
    }
    /// Nothing that real hardware would not have forgiven.
    ~Armed() { CHECK_MESSAGE(board.findings().empty(), board.findings().to_text()); }

    std::vector<DownloadedSlot> whole_log() {
        const wire::StatusReply status = host.status();
        return host.download(status.tail_sequence, status.next_sequence);
    }
};

/// Ticks of the readings of the boot that wrote the last one.
std::vector<std::uint32_t> ticks_of_last_boot(const std::vector<DownloadedSlot>& slots) {
    std::vector<std::uint32_t> ticks;
    std::uint16_t boot = 0;
    for (const DownloadedSlot& slot : slots) {
        if (slot.kind() != wire::RecordKind::reading) continue;
        const auto head = slot.as<wire::Reading>().head;
        if (head.boot != boot) ticks.clear();
        boot = head.boot;
        ticks.push_back(head.ticks_s);
    }
    return ticks;
}

} // namespace

TEST_CASE(
    "a flash that goes away while the logger records is reported, and gone on with when back") {
    for (const NorState state : {NorState::absent, NorState::dumb}) {
        Armed logger;
        logger.board.set_flash(state);
        logger.board.run_for(40s);
        logger.host.plug();
        const wire::StatusReply away = logger.host.status();
        CHECK((away.faults & wire::fault_flash) != 0);
        CHECK(away.state == static_cast<std::uint8_t>(wire::LoggerState::idle));
        logger.host.unplug();

        logger.board.set_flash(NorState::ok);
        logger.board.run_for(30s);
        logger.host.plug();
        const wire::StatusReply back = logger.host.status();
        CHECK((back.faults & wire::fault_flash) == 0);
        CHECK(back.state == static_cast<std::uint8_t>(wire::LoggerState::armed));
        const auto ticks = ticks_of_last_boot(logger.whole_log());
        CHECK(std::ranges::is_sorted(ticks));
        const auto gap = std::ranges::adjacent_find(
            ticks, [](std::uint32_t a, std::uint32_t b) { return b > a + 5; });
        REQUIRE(gap != ticks.end());
        // What fell into the absence is missing, and the 8 s until the logger looks again.
        CHECK(gap[1] - gap[0] >= 40);
        CHECK(gap[1] - gap[0] <= 40 + 12);
        CHECK(gap - ticks.begin() >= 25);
        CHECK(ticks.end() - gap >= 15);
    }
}

TEST_CASE("an armed logger starts without its flash, and goes on as soon as it answers") {
    Armed logger;
    const std::uint64_t erases = logger.board.flash().erases();
    logger.board.set_flash(NorState::absent);
    logger.board.cut_power();
    logger.board.run_for(25s);
    logger.host.plug();
    const auto hello =
        logger.host.ask(wire::MessageType::hello, wire::Hello{wire::protocol_version, 0})
            .as<wire::HelloReply>();
    CHECK(hello.sector_count == 0);
    CHECK((hello.faults & wire::fault_flash) != 0);
    logger.host.unplug();
    logger.board.set_flash(NorState::ok);
    logger.board.run_for(25s);
    CHECK(logger.board.flash().erases() == erases + 1); // the one ahead, once more
    logger.host.plug();
    const auto slots = logger.whole_log();
    const auto boot = std::ranges::find_if(
        slots, [](const DownloadedSlot& slot) { return slot.kind() == wire::RecordKind::boot; });
    REQUIRE(boot != slots.end());
    CHECK((boot->as<wire::Boot>().faults & wire::fault_flash) != 0);
    CHECK(boot->as<wire::Boot>().head.ticks_s >= 24);
    CHECK(ticks_of_last_boot(slots).size() >= 8);
}
