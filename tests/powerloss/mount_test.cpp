// How long the real firmware takes to find its place in a full memory, in simulated time.
#include "bench/board.h"
#include "board_log.h"

#include <doctest/doctest.h>

using namespace quaycell;
using namespace std::chrono_literals;
using bench::Time;

namespace {

/// From power-up to the first erase, which the firmware begins as soon as it has found its place:
/// longer than mounting by the crystal's start and a look at the other chips.
Time time_to_mount(std::uint32_t megabytes) {
    bench::Scenario scenario = bench::read_scenario(QUAYCELL_SCENARIO);
    scenario.logger.flash_mb = megabytes;
    bench::Board board(bench::read_firmware(QUAYCELL_LOGGER_ELF), scenario);
    board.load_flash(
        powerloss::full_ring(static_cast<std::uint32_t>(board.flash().image().size()), 20));
    while (board.flash().erases() == 0 && board.now() < 10s)
        board.run_for(100us);
    REQUIRE(board.flash().erases() == 1);
    return board.now();
}

} // namespace

TEST_CASE("a full memory is mounted in a tenth of a second for each 2 MB") {
    for (const std::uint32_t megabytes : {2U, 4U, 8U, 16U}) {
        const Time took = time_to_mount(megabytes);
        MESSAGE(megabytes,
                " MB: ", std::chrono::duration_cast<std::chrono::microseconds>(took).count(),
                " us");
        CHECK(took <= 50ms * megabytes);
    }
}
