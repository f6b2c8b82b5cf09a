// Cells that run low, sink below what the microcontroller needs, and are changed: the log ends in a
// record that says so, and the deployment goes on with fresh ones.
#include "quiet_logger.h"

using namespace quaycell::bench;
using namespace std::chrono_literals;
namespace wire = quaycell::wire;

namespace {

constexpr double low_mv = 3350, gone_mv = 2600, fresh_mv = 4600;

bool recording(QuietLogger& logger) {
    logger.host.plug();
    const auto state = logger.host.status().state;
    logger.host.unplug();
    return state == static_cast<std::uint8_t>(wire::LoggerState::armed);
}

void check_ends_with_low_battery(const std::vector<DownloadedSlot>& slots) {
    REQUIRE(slots.back().kind() == wire::RecordKind::stop);
    CHECK(slots.back().as<wire::Stop>().reason ==
          static_cast<std::uint8_t>(wire::StopReason::battery_low));
}

wire::Boot last_boot(const std::vector<DownloadedSlot>& slots) {
    const auto boots = records_in<wire::Boot>(slots, wire::RecordKind::boot);
    REQUIRE_FALSE(boots.empty());
    return boots.back();
}

} // namespace

TEST_CASE("cells run low: a Stop record ends the log, and with fresh cells it goes on") {
    QuietLogger logger;
    logger.arm(10);
    logger.board.run_for(5min);
    logger.board.set_battery(low_mv);
    logger.board.run_for(5min);
    CHECK(recording(logger)); // minutes may pass
    CHECK((readings_in(logger.collect()).back().flags & wire::flag_low_battery) != 0);
    logger.board.run_for(10min);
    const auto stopped = without_spent(logger.collect());
    check_ends_with_low_battery(stopped);
    CHECK_FALSE(recording(logger));

    logger.board.set_battery(0); // taken out
    logger.board.run_for(30s);
    logger.board.set_battery(fresh_mv);
    logger.board.run_for(2min);
    CHECK(recording(logger));
    const auto slots = without_spent(logger.collect());
    CHECK(slots.size() > stopped.size() + 10);
    CHECK(last_boot(slots).reset_cause == static_cast<std::uint8_t>(wire::ResetCause::power_on));
    CHECK(readings_in(slots).back().head.boot == 2);
}

TEST_CASE("a dip of the supply resets the controller, and the deployment goes on") {
    QuietLogger logger;
    logger.arm(1);
    for (int dip = 0; dip < 20; ++dip) {
        logger.board.run_for(7s + 37ms * dip);
        logger.board.set_battery(gone_mv);
        logger.board.run_for(50ms);
        logger.board.set_battery(fresh_mv);
    }
    logger.board.run_for(10s);
    const auto slots = without_spent(logger.collect());
    CHECK(last_boot(slots).reset_cause == static_cast<std::uint8_t>(wire::ResetCause::brown_out));
    CHECK(records_in<wire::Boot>(slots, wire::RecordKind::boot).size() == 20);
    CHECK(readings_in(slots).size() >= 100);
}

TEST_CASE("a supply that sinks and comes back again and again does not fill the log") {
    QuietLogger logger;
    logger.arm(10);
    logger.board.run_for(2min);
    for (double mv = 3600; mv > gone_mv; mv -= 10) { // in a minute: faster than three readings
        logger.board.set_battery(mv);
        logger.board.run_for(600ms);
    }
    std::size_t slots = 0;
    for (int sag = 0; sag < 30; ++sag) {
        logger.board.set_battery(2900);
        logger.board.run_for(2s);
        logger.board.set_battery(gone_mv);
        logger.board.run_for(1s);
        if (sag == 0) continue;
        logger.board.set_battery(2900);
        logger.board.run_for(2s);
        const auto now = without_spent(logger.collect());
        check_ends_with_low_battery(now);
        if (slots != 0) CHECK(now.size() == slots);
        slots = now.size();
    }
    CHECK_FALSE(recording(logger));
    logger.board.set_battery(0);
    logger.board.run_for(10s);
    logger.board.set_battery(fresh_mv);
    logger.board.run_for(1min);
    CHECK(recording(logger));
}
