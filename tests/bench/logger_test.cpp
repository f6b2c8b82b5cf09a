// The real firmware, instruction by instruction, in a simulated berth.
#include "quiet_logger.h"

#include "bench/sea/cell.h"
#include "board/circuit.h"
#include "board/pins.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

using namespace quaycell::bench;
using namespace std::chrono_literals;
namespace wire = quaycell::wire;
namespace board = quaycell::board;

namespace {

using Logger = QuietLogger;

/// The maker's equation from resistance to temperature; the bench goes by the one the other way.
double thermistor_c(double ohm) {
    const double x = std::log(ohm / 10000);
    return 1 / (3.354016e-3 + x * (2.569850e-4 + x * (2.620131e-6 + x * 6.383091e-8))) - 273.15;
}

} // namespace

TEST_CASE("a logger that has just got its batteries says who it is") {
    Logger logger;
    logger.board.run_for(1s);
    logger.host.plug();
    const wire::HelloReply hello = logger.host.hello();
    CHECK(hello.protocol == wire::protocol_version);
    CHECK(hello.layout == wire::record_layout);
    CHECK(hello.device_id == 4711);
    CHECK(hello.sector_count == 512);
    CHECK(hello.jedec_id[0] == 0xEF);
    CHECK(hello.jedec_id[1] == 0x40);
    CHECK(hello.jedec_id[2] == 0x15);
    CHECK(hello.faults == 0);
    const wire::StatusReply status = logger.host.status();
    CHECK(status.state == static_cast<std::uint8_t>(wire::LoggerState::idle));
    CHECK(status.unix_s == doctest::Approx(1777874400 + 2).epsilon(1e-9));
    // 4600 mV of 6600 mV, in sixteen times 1024.
    CHECK(status.battery == doctest::Approx(11419).epsilon(0.002));
}

TEST_CASE("the calibration that stands in EEPROM is told as it stands") {
    Logger logger;
    logger.host.plug();
    const auto told = logger.host.ask(wire::MessageType::calibration, wire::CalibrationRequest{0})
                          .as<wire::Calibration>();
    CHECK(told.a.gain_ppm == -400);
    CHECK(told.reference_code_x16 == 262249); // 1.024 V / 62.5 uV * 1.0004 * 16
    CHECK((told.flags & wire::calibration_valid) != 0);
}

TEST_CASE("a calibration that was sent stands through a power cut") {
    Logger logger;
    logger.host.plug();
    const auto ask = [&] {
        return logger.host.ask(wire::MessageType::calibration, wire::CalibrationRequest{0})
            .as<wire::Calibration>();
    };
    wire::Calibration sent = ask();
    sent.a.gain_ppm = 77;
    wire::seal(sent);
    const auto held =
        logger.host.ask(wire::MessageType::set_calibration, wire::SetCalibration{sent})
            .as<wire::Calibration>();
    CHECK(held.a.gain_ppm == 77);
    logger.board.cut_power();
    logger.host.plug();
    CHECK(ask().a.gain_ppm == 77);
}

TEST_CASE("an hour at ten seconds: every reading, at its time, with the sea's potential") {
    Logger logger;
    logger.host.plug();
    const wire::StatusReply armed = logger.host.arm(10);
    CHECK(armed.state == static_cast<std::uint8_t>(wire::LoggerState::armed));
    logger.host.unplug();
    logger.board.run_for(1h);
    logger.host.plug();
    const auto slots = logger.whole_log();
    check_unbroken(slots);

    const auto readings = readings_in(slots);
    CHECK(readings.size() >= 359);
    CHECK(readings.size() <= 361);
    // What the converter makes of 0.9 V with 400 ppm and two codes; the sea moves less than a tenth
    // of a code in the second between tick and conversion.
    int worst_codes = 0;
    double worst_c = 0;
    for (std::size_t i = 0; i < readings.size(); ++i) {
        const wire::Reading& reading = readings[i];
        if (i > 0) REQUIRE(reading.head.ticks_s == readings[i - 1].head.ticks_s + 10);
        const Time when = std::chrono::seconds{reading.head.ticks_s};
        const double temperature_c = logger.scenario.temperature_c.at(when);
        const double cell_mv = reading_mv(logger.scenario.potential_mv.at(when),
                                          logger.scenario.salinity_psu.at(when), temperature_c);
        const double expected = -cell_mv / 0.0625 * 1.0004 + 2;
        worst_codes = std::max(worst_codes,
                               static_cast<int>(std::lround(std::abs(reading.cell_a - expected))));

        const double ratio = static_cast<double>(reading.water) / board::sum_full_scale;
        const double ohm = board::thermistor_pullup_ohm * ratio / (1 - ratio);
        worst_c = std::max(worst_c, std::abs(thermistor_c(ohm) - temperature_c));
        CHECK(reading.board == 72); // 18 degC in quarters
    }
    CHECK(worst_codes <= 3);                               // half a code of noise, six times
    CHECK(worst_c <= 0.1);                                 // one step of ten bits
    CHECK(readings.back().flags == wire::flag_not_good_b); // there is no cell B
}

TEST_CASE("what is downloaded is what the flash holds") {
    Logger logger;
    logger.host.plug();
    logger.host.arm(1);
    logger.host.unplug();
    logger.board.run_for(10min);
    logger.host.plug();
    const auto image = logger.board.flash().image();
    for (const DownloadedSlot& slot : logger.whole_log()) {
        const std::size_t at = std::size_t{slot.sequence} * wire::record_size % image.size();
        REQUIRE(std::equal(slot.bytes.begin(), slot.bytes.end(),
                           image.begin() + static_cast<std::ptrdiff_t>(at)));
    }
}

TEST_CASE("after a power cut an armed logger goes on by itself and has lost nothing") {
    Logger logger;
    logger.host.plug();
    logger.host.arm(1);
    logger.host.unplug();
    logger.board.run_for(5min + 123ms);
    logger.board.cut_power();
    logger.board.run_for(5min);
    logger.host.plug();
    const auto slots = logger.whole_log();
    std::vector<wire::Reading> before, after;
    for (const wire::Reading& reading : readings_in(slots))
        (reading.head.boot == readings_in(slots).front().head.boot ? before : after)
            .push_back(reading);
    CHECK(before.size() >= 298);
    CHECK(after.size() >= 298);
    for (std::size_t i = 1; i < before.size(); ++i)
        REQUIRE(before[i].head.ticks_s == before[i - 1].head.ticks_s + 1);
    for (std::size_t i = 1; i < after.size(); ++i)
        REQUIRE(after[i].head.ticks_s == after[i - 1].head.ticks_s + 1);
    CHECK(after.front().head.boot == before.back().head.boot + 1);
    CHECK(std::ranges::any_of(
        slots, [](const DownloadedSlot& slot) { return slot.kind() == wire::RecordKind::boot; }));
}

TEST_CASE("cuts in the middle of programs and erases lose nothing that was written") {
    Logger logger;
    logger.host.plug();
    logger.host.arm(1);
    logger.host.unplug();
    const Nor& flash = logger.board.flash();
    const auto slot_at = [&](std::size_t i) { return &flash.image()[i * wire::record_size]; };
    constexpr std::size_t slots_used = 4096; // more than this test fills
    std::vector<bool> written(slots_used, false);
    for (int cut = 0; cut < 60; ++cut) {
        logger.board.run_for(1500ms + 70ms * cut); // so that the starts differ, too
        const bool wait_for_erase = cut % 6 == 5;
        const auto operations = [&] { return wait_for_erase ? flash.erases() : flash.programs(); };
        const auto before = operations();
        while (operations() == before)
            logger.board.run_for(50us);
        logger.board.run_for(wait_for_erase ? 700us * cut : 10us * cut);
        for (std::size_t i = 0; i < slots_used; ++i)
            written[i] = written[i] || wire::is_valid_record(slot_at(i));
        logger.board.cut_power();
    }
    logger.board.run_for(5s);
    logger.host.plug();
    CHECK(logger.host.status().state == static_cast<std::uint8_t>(wire::LoggerState::armed));
    CHECK(logger.host.hello().faults == 0);
    std::size_t lost = 0;
    for (std::size_t i = 0; i < slots_used; ++i)
        if (written[i] && !wire::is_valid_record(slot_at(i))) ++lost;
    CHECK(lost == 0);
    int torn = 0, spent = 0;
    for (const DownloadedSlot& slot : logger.whole_log()) {
        if (wire::is_valid_record(slot.bytes.data()))
            REQUIRE(slot.as<wire::RecordHead>().sequence == slot.sequence);
        else if (std::ranges::count(slot.bytes, 0) == wire::record_size)
            ++spent;
        else
            ++torn;
    }
    CHECK(spent > 0); // on the first blank slot after a restart
    CHECK(spent <= 60);
    MESSAGE("slots torn by 60 cuts: ", torn);
    CHECK(torn > 10); // or the cuts did not hit
    CHECK(torn <= 60);
}

TEST_CASE("a reset in the middle of an erase: the flash is waited for, and recording goes on") {
    Logger logger;
    logger.host.plug();
    logger.host.arm(1);
    logger.host.unplug();
    const auto before = logger.board.flash().erases();
    while (logger.board.flash().erases() == before)
        logger.board.run_for(100us);
    logger.board.reset_controller();
    logger.board.run_for(10s);
    logger.host.plug();
    CHECK(logger.host.hello().faults == 0);
    CHECK(logger.host.status().state == static_cast<std::uint8_t>(wire::LoggerState::armed));
    const auto readings = readings_in(logger.whole_log());
    REQUIRE_FALSE(readings.empty());
    CHECK(readings.back().head.boot == 2);
}

TEST_CASE("a chip that holds the two-wire bus is clocked until it lets go") {
    Logger logger;
    logger.host.plug();
    logger.host.arm(1);
    logger.host.unplug();
    unsigned clocks = 0;
    SUBCASE("after one clock") {
        clocks = 1;
    }
    SUBCASE("after a whole byte") {
        clocks = 9;
    }
    SUBCASE("since before a reset") {
        logger.board.run_for(5s + 300ms);
        logger.board.hold_bus(4);
        logger.board.reset_controller();
    }
    logger.board.run_for(10s + 300ms);
    if (clocks != 0) logger.board.hold_bus(clocks);
    logger.board.run_for(10s);
    logger.host.plug();
    CHECK(logger.host.hello().faults == 0);
    const auto readings = readings_in(logger.whole_log());
    CHECK(readings.size() >= 18);
    for (const wire::Reading& reading : readings) {
        // The host that asks for the log may be there before the last reading is.
        CHECK((reading.head.time_flags & ~wire::host_was_present) == 0);
        CHECK((reading.flags & wire::flag_converter_fault) == 0);
    }
}

TEST_CASE("a bus that stays held costs the time, not the logger") {
    Logger logger;
    logger.host.plug();
    logger.host.arm(1);
    logger.board.hold_bus(Board::for_ever);
    logger.board.run_for(20s);
    CHECK((logger.host.hello().faults & (wire::fault_clock | wire::fault_converter)) ==
          (wire::fault_clock | wire::fault_converter));
    logger.board.hold_bus(0);
    logger.board.run_for(20s);
    CHECK(logger.host.hello().faults == 0);
}

TEST_CASE("the lamp blinks while it records, and only then") {
    Logger logger;
    logger.board.run_for(100s);
    CHECK(logger.board.led_blinks() == 0);
    logger.host.plug();
    logger.host.arm(10);
    logger.host.unplug();
    const auto before = logger.board.led_blinks();
    logger.board.run_for(800s); // every 8 s
    CHECK(logger.board.led_blinks() - before >= 95);
    CHECK(logger.board.led_blinks() - before <= 105);
}

TEST_CASE("live readings come about every second while asked for") {
    Logger logger;
    logger.host.plug();
    logger.host.ask(wire::MessageType::live, wire::LiveRequest{1, 0});
    int count = 0;
    const Time begun = logger.board.now();
    while (logger.board.now() < begun + 20s)
        if (const auto frame = logger.host.next(2s);
            frame && frame->type == wire::MessageType::live_reading)
            ++count;
    CHECK(count >= 19);
    CHECK(count <= 22);
}

TEST_CASE("memory: static data and the deepest stack leave room") {
    Logger logger;
    logger.host.plug();
    const auto held = logger.host.ask(wire::MessageType::calibration, wire::CalibrationRequest{0})
                          .as<wire::Calibration>();
    logger.host.ask(wire::MessageType::set_calibration, wire::SetCalibration{held});
    logger.host.arm(1);
    logger.host.ask(wire::MessageType::live, wire::LiveRequest{1, 0});
    logger.board.run_for(150s); // across an erase
    logger.whole_log();
    const RamUse use = logger.board.ram_use();
    MESSAGE("static ", use.static_data, " bytes, stack ", use.stack, " bytes, never used ",
            use.untouched, " bytes");
    CHECK(use.static_data <= 1228); // 1.2 KB
    CHECK(use.stack > 0);
    CHECK(use.untouched >= 256);
}

TEST_CASE("the same scenario and seed write the same flash") {
    const auto run = [] {
        Logger logger;
        logger.host.plug();
        logger.host.arm(1);
        logger.board.run_for(90s);
        logger.board.cut_power();
        logger.board.run_for(90s);
        const auto image = logger.board.flash().image();
        return std::vector<std::uint8_t>{image.begin(), image.end()};
    };
    CHECK(run() == run());
}
