// The real firmware on a flash that is worn out ahead of the log, and erases as slowly as one may.
#include "bench/board.h"
#include "board_log.h"

#include <doctest/doctest.h>

using namespace quaycell;
using namespace std::chrono_literals;
using What = bench::WornSector::What;

namespace {

constexpr std::uint32_t sectors_to_wrap = 20, sectors = 512, interval_s = 1;
constexpr std::uint32_t slowest_erase_ms = 400; ///< data sheets of the 25-series, from memory

/// A full ring that comes to as many worn sectors as are passed over, a minute from now.
bench::Board worn_board(What what) {
    bench::Scenario scenario = bench::read_scenario(QUAYCELL_SCENARIO);
    scenario.logger.flash_erase_ms = slowest_erase_ms;
    for (std::uint32_t i = 0; i < wire::most_skipped; ++i)
        scenario.worn_sectors.push_back({what, sectors - sectors_to_wrap + 1 + i});
    return {bench::read_firmware(QUAYCELL_LOGGER_ELF), scenario};
}

} // namespace

TEST_CASE("eight worn sectors in a row at the slowest erase cost no record, only some seconds") {
    for (const What what : {What::erase, What::program}) {
        bench::Board board = worn_board(what);
        std::vector<std::uint8_t> ring = powerloss::full_ring(sectors * 4096, sectors_to_wrap);
        powerloss::soil_ahead(ring, sectors_to_wrap);
        board.load_flash(ring);
        const powerloss::BoardLog before(ring);
        board.run_for(120s);
        const powerloss::BoardLog after(board.flash().image());
        CHECK(after.recording().on);
        CHECK(before.enters_sector(after));
        unsigned boots = 0, missing = 0;
        std::uint32_t last_tick_s = 0, longest_gap_s = 0;
        for (std::uint32_t s = before.next(); s != after.next(); ++s) {
            if (!after.has(s)) {
                ++missing;
                continue;
            }
            const auto head = wire::from_bytes<wire::RecordHead>(after.slot(s));
            boots += head.kind == static_cast<std::uint8_t>(wire::RecordKind::boot);
            if (head.kind != static_cast<std::uint8_t>(wire::RecordKind::reading)) continue;
            if (last_tick_s != 0)
                longest_gap_s = std::max(longest_gap_s, head.ticks_s - last_tick_s);
            last_tick_s = head.ticks_s;
        }
        // Written though the erases take longer than the patience with a flash that is stuck.
        CHECK(boots == 1);
        // The void slot of the restart, and the worn sectors themselves.
        CHECK(missing == 1 + wire::most_skipped * wire::slots_per_sector);
        CHECK(last_tick_s >= 118);
        CHECK(longest_gap_s <= interval_s + (wire::most_skipped + 1) * slowest_erase_ms / 1000 + 1);
        MESSAGE(std::string(what == What::erase ? "never erase" : "never program"), ": ",
                longest_gap_s, " s without a reading");
        CHECK(board.findings().count() == 0);
    }
}
