// Chips that are absent, dumb or wrong, from power-up on or all of a sudden, and come back: the
// rest goes on, each reading is still written down and says what it lacks, and what is back is used
// again.
#include "quiet_logger.h"

#include <array>
#include <string>

using namespace quaycell::bench;
using namespace std::chrono_literals;
namespace wire = quaycell::wire;

namespace {

struct Trouble {
    std::string name;
    void (*begin)(Board&);
    std::uint8_t faults;      ///< of HELLO
    std::uint16_t flags;      ///< of readings
    std::uint8_t time_flags;  ///< of records
    std::uint8_t flags_after; ///< time flags that stay until the clock is set
};

constexpr std::uint8_t clock_flags = static_cast<std::uint8_t>(~wire::host_was_present);
constexpr std::uint8_t both = wire::fault_converter | wire::fault_clock;

const std::array troubles{
    Trouble{"no converter", [](Board& b) { b.take_out(Board::Chip::converter); },
            wire::fault_converter, wire::flag_converter_fault, 0, 0},
    Trouble{"a converter that never ends", [](Board& b) { b.silence_converter(); },
            wire::fault_converter, wire::flag_converter_fault, 0, 0},
    Trouble{"a converter that always says the same", [](Board& b) { b.stick_converter_at(14400); },
            wire::fault_converter, wire::flag_converter_fault, 0, 0},
    Trouble{"no clock", [](Board& b) { b.take_out(Board::Chip::clock); }, wire::fault_clock, 0,
            wire::ticks_from_watchdog, 0},
    Trouble{"a clock that stands still", [](Board& b) { b.stop_clock(); }, wire::fault_clock, 0,
            wire::ticks_from_watchdog | wire::clock_lost_power, wire::clock_lost_power},
    Trouble{"a clock whose alarm does not come", [](Board& b) { b.mute_clock(); },
            wire::fault_clock, 0, 0, 0},
    Trouble{"SDA held low for ever", [](Board& b) { b.hold_bus(Board::for_ever); }, both,
            wire::flag_converter_fault, wire::ticks_from_watchdog, 0},
    Trouble{"SCL held low for ever", [](Board& b) { b.hold_bus_clock(true); }, both,
            wire::flag_converter_fault, wire::ticks_from_watchdog, 0},
};

void mend(Board& board) {
    board.put_back(Board::Chip::converter);
    board.put_back(Board::Chip::clock);
    board.hold_bus(0);
    board.hold_bus_clock(false);
}

std::uint8_t chip_faults(QuietLogger& logger) {
    return logger.faults() & both;
}

wire::Reading last_reading(QuietLogger& logger) {
    const auto slots = logger.collect();
    check_unbroken(slots);
    return readings_in(slots).back();
}

void check_marked(const wire::Reading& reading, const Trouble& trouble) {
    CHECK((reading.flags & wire::flag_converter_fault) == trouble.flags);
    const auto time_flags = static_cast<std::uint8_t>(reading.head.time_flags & clock_flags);
    CHECK((time_flags & trouble.time_flags) == trouble.time_flags);
    if (trouble.time_flags == 0) CHECK(time_flags == 0); // else more may be unknown
    CHECK(reading.battery != 0);
    CHECK(reading.water != 0);
}

void check_well_again(QuietLogger& logger, const Trouble& trouble) {
    mend(logger.board);
    chip_faults(logger);       // a wrong or dumb converter is checked again when somebody asks
    logger.board.run_for(12s); // the next alarm
    CHECK(chip_faults(logger) == 0);
    logger.board.run_for(40s);
    const RamUse use = logger.board.ram_use();
    CHECK(use.static_data + use.stack <= 1638); // 80 % of what there is, as bench_energy_test
    const wire::Reading reading = last_reading(logger);
    CHECK((reading.flags & wire::flag_converter_fault) == 0);
    CHECK(reading.cell_a != wire::missing_code);
    CHECK(reading.board != wire::missing_code);
    CHECK((reading.head.time_flags & clock_flags) == trouble.flags_after);
}

} // namespace

TEST_CASE("in trouble from power-up on: readings are written, marked; mended, it is used") {
    for (const Trouble& trouble : troubles) {
        CAPTURE(trouble.name);
        QuietLogger logger;
        trouble.begin(logger.board);
        logger.board.run_for(20s); // a clock is seen to stand still after 16 s
        logger.arm(10);
        logger.board.run_for(10min);
        CHECK(chip_faults(logger) == trouble.faults);
        const auto readings = readings_in(logger.collect());
        CHECK(readings.size() >= 57); // the watchdog's seconds are 2.4 % long
        for (const wire::Reading& reading : readings)
            if (reading.head.ticks_s > 40) check_marked(reading, trouble);
        check_well_again(logger, trouble);
    }
}

TEST_CASE("in trouble while recording: not one reading is left out for it") {
    for (const Trouble& trouble : troubles) {
        CAPTURE(trouble.name);
        QuietLogger logger;
        logger.arm(10);
        logger.board.run_for(3min + 3s);
        trouble.begin(logger.board);
        logger.board.run_for(10min);
        CHECK(chip_faults(logger) == trouble.faults);
        check_marked(last_reading(logger), trouble);
        const auto readings = readings_in(logger.collect());
        CHECK(readings.size() >= 75); // of 78
        for (std::size_t i = 1; i < readings.size(); ++i)
            CHECK(readings[i].head.ticks_s - readings[i - 1].head.ticks_s <= 20);
        check_well_again(logger, trouble);
    }
}

TEST_CASE("at one reading a second, too, a chip costs two readings at most, or what the watchdog "
          "sleeps") {
    for (const Trouble& trouble : troubles) {
        CAPTURE(trouble.name);
        const bool clock_is_lost = (trouble.faults & wire::fault_clock) != 0;
        QuietLogger logger;
        logger.arm(1);
        logger.board.run_for(20s);
        trouble.begin(logger.board);
        logger.board.run_for(60s);
        // A clock is missed after 8 s, one that stands still after 16; then seconds are 2.4 % long.
        CHECK(readings_in(logger.collect()).size() >= (clock_is_lost ? 60 : 78));
    }
}

TEST_CASE("a chip that is missing at a restart is told in the Boot record") {
    QuietLogger logger;
    logger.arm(10);
    logger.board.run_for(25s);
    std::uint8_t fault = 0;
    SUBCASE("the converter") {
        logger.board.take_out(Board::Chip::converter);
        fault = wire::fault_converter;
    }
    SUBCASE("the clock") {
        logger.board.take_out(Board::Chip::clock);
        fault = wire::fault_clock;
    }
    logger.board.reset_controller();
    logger.board.run_for(5s);
    const auto boots = records_in<wire::Boot>(logger.collect(), wire::RecordKind::boot);
    REQUIRE(boots.size() == 1);
    CHECK(boots[0].faults == fault);
    CHECK(boots[0].reset_cause == static_cast<std::uint8_t>(wire::ResetCause::external));
}

TEST_CASE("a clock that jumps, of itself or because its battery was flat, moves no reading") {
    QuietLogger logger;
    logger.arm(10);
    logger.board.run_for(3min);
    std::uint8_t flags = wire::clock_jumped;
    SUBCASE("forward") {
        logger.board.jump_clock(5000s);
    }
    SUBCASE("back") {
        logger.board.jump_clock(-5000s);
    }
    SUBCASE("back by a second") {
        logger.board.jump_clock(-10s);
    }
    SUBCASE("its battery was flat") {
        logger.board.empty_clock_battery();
        flags |= wire::clock_lost_power;
    }
    logger.board.run_for(3min);
    const auto slots = logger.collect();
    check_unbroken(slots);
    const auto readings = readings_in(slots);
    CHECK(readings.size() >= 35);
    for (std::size_t i = 1; i < readings.size(); ++i)
        CHECK(readings[i].head.ticks_s - readings[i - 1].head.ticks_s == 10);
    CHECK((readings.back().head.time_flags & clock_flags) == flags);
    const auto changes = records_in<wire::ClockSet>(slots, wire::RecordKind::clock_set);
    REQUIRE(changes.size() == 1);
    CHECK(changes[0].by == static_cast<std::uint8_t>(wire::ClockSetBy::itself));
    CHECK(logger.faults() == 0); // it answers and runs: no fault of the chip
}
