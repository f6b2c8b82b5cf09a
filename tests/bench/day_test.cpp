// One whole day at the shortest interval.
#include "logger_client.h"

#include <doctest/doctest.h>

using namespace quaycell::bench;
using namespace std::chrono_literals;
namespace wire = quaycell::wire;

TEST_CASE("a day at one reading a second misses none") {
    Scenario scenario = read_scenario(QUAYCELL_SCENARIOS "/quiet-berth.toml");
    scenario.logger.flash_mb = 4; // a day has more seconds than 2 MB have slots
    Board board{read_firmware(QUAYCELL_LOGGER_ELF), scenario};
    LoggerClient host{board};
    host.plug();
    const std::uint32_t first = host.arm(1).tail_sequence;
    host.unplug();
    board.run_for(24h);

    // Straight from the flash: the download is another test's.
    const auto image = board.flash().image();
    std::uint32_t readings = 0, last_tick = 0;
    for (std::uint32_t sequence = first;; ++sequence) {
        const std::uint8_t* const slot =
            &image[std::size_t{sequence} * wire::record_size % image.size()];
        if (!wire::is_valid_record(slot)) break;
        const auto head = wire::from_bytes<wire::RecordHead>(slot);
        REQUIRE(head.sequence == sequence);
        if (head.kind != static_cast<std::uint8_t>(wire::RecordKind::reading)) continue;
        if (readings > 0) REQUIRE(head.ticks_s == last_tick + 1);
        last_tick = head.ticks_s;
        ++readings;
    }
    // Each second of the day but those of the opening checks, 1.2 s, and of the cable, 0.5 s.
    CHECK(readings >= 86398);
    CHECK(readings <= 86400);
    CHECK_MESSAGE(board.findings().empty(), board.findings().to_text());
}
