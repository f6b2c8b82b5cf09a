// The watchdog stands over every wait that has no bound of its own: what waits for ever ends in a
// restart, and an armed logger goes on by itself.
#include "quiet_logger.h"

using namespace quaycell::bench;
using namespace std::chrono_literals;
namespace wire = quaycell::wire;

namespace {

// Two of its periods of 8 s: the first is the warning.
constexpr Time watchdog_bites_within = 17s;

} // namespace

TEST_CASE("a part of the microcontroller that never ends what it began is met by the watchdog") {
    QuietLogger logger;
    logger.arm(1);
    logger.board.run_for(30s);
    const auto before = readings_in(logger.collect()).size();
    Board::Part part{};
    SUBCASE("its converter") {
        part = Board::Part::adc;
    }
    SUBCASE("its bus to the flash") {
        part = Board::Part::spi;
    }
    SUBCASE("its EEPROM, which only a start writes") {
        part = Board::Part::eeprom;
        logger.board.reset_controller();
    }
    logger.board.seize(part, true);
    logger.board.run_for(watchdog_bites_within);
    logger.board.seize(part, false);
    logger.board.run_for(watchdog_bites_within + 20s); // it may hang in its first restart, too
    const auto slots = logger.collect();
    CHECK(logger.faults() == 0);
    const auto boots = records_in<wire::Boot>(slots, wire::RecordKind::boot);
    REQUIRE_FALSE(boots.empty());
    CHECK(boots.back().reset_cause == static_cast<std::uint8_t>(wire::ResetCause::watchdog));
    CHECK(readings_in(slots).size() >= before + 15);
    CHECK(readings_in(slots).back().head.boot == boots.back().head.boot);
}

TEST_CASE("the watchdog leaves a logger alone that has nothing to do") {
    QuietLogger logger;
    logger.board.run_for(2h);
    logger.host.plug();
    CHECK(logger.host.hello().boot == 1);
}
