// What the bench notes of current drawn and of interrupts, while the real firmware runs.
#include "logger_client.h"

#include "board/circuit.h"
#include "board/fuses.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <numeric>

using namespace quaycell::bench;
using namespace std::chrono_literals;
namespace wire = quaycell::wire;
namespace board = quaycell::board;

namespace {

struct Logger {
    Scenario scenario = read_scenario(QUAYCELL_SCENARIOS "/quiet-berth.toml");
    Board board{read_firmware(QUAYCELL_LOGGER_ELF), scenario};
    LoggerClient host{board};

    /// Armed, and the cable out again.
    explicit Logger(std::uint16_t interval_s) {
        host.plug();
        host.arm(interval_s);
        host.unplug();
        board.run_for(10s);
    }

    EnergyUse use_of(Time length) {
        const EnergyUse before = board.energy().use();
        board.run_for(length);
        return board.energy().use() - before;
    }
};

std::uint64_t asleep(const CycleCount& cycles, SleepMode mode) {
    return cycles.asleep[static_cast<std::size_t>(mode)];
}

double seconds(Time time) {
    return std::chrono::duration<double>(time).count();
}

} // namespace

TEST_CASE("every cycle of an hour is accounted for, each in one state") {
    Logger logger{10};
    const EnergyUse use = logger.use_of(1h);
    const CycleCount& cycles = use.cycles;
    const std::uint64_t counted = std::accumulate(cycles.asleep.begin(), cycles.asleep.end(),
                                                  cycles.active + cycles.starting);
    CHECK(seconds(use.span) == doctest::Approx(3600));
    CHECK(counted == 3600ULL * board::cpu_hz);
    CHECK(cycles.starts > 700); // two wake-ups a reading at the least: the tick, the conversion
    CHECK(cycles.starting == cycles.starts * board::start_up_cycles(board::low_fuse));
}

TEST_CASE("in power-down the firmware has the brown-out detector off and the watchdog on") {
    Logger logger{10};
    const EnergyUse use = logger.use_of(10min);
    CHECK(use.cycles.without_brown_out == asleep(use.cycles, SleepMode::power_down));
    CHECK(use.watchdog == use.span);
    CHECK(use.host == 0s);
}

TEST_CASE("the converter converts 125 ms at a time and the flash is busy as long as it writes") {
    Logger logger{10};
    const EnergyUse use = logger.use_of(1h);
    CHECK(seconds(use.converter) ==
          doctest::Approx(static_cast<double>(use.conversions) * 0.125).epsilon(0.1)); // its clock
    CHECK(seconds(use.flash.programming) ==
          doctest::Approx(static_cast<double>(use.programs) * 0.7e-3).epsilon(0.01));
    CHECK(seconds(use.flash.erasing) ==
          doctest::Approx(static_cast<double>(use.erases) * 45e-3).epsilon(0.01));
    const NorTime& flash = use.flash;
    CHECK(flash.programming + flash.erasing + flash.selected + flash.standby +
              flash.deep_power_down ==
          use.span);
    CHECK(seconds(flash.deep_power_down) > 0.99 * 3600);
}

TEST_CASE("the lamp and the sensors' supply are on only as long as they are needed") {
    Logger logger{10};
    const EnergyUse use = logger.use_of(1h);
    CHECK(seconds(use.lamp) ==
          doctest::Approx(static_cast<double>(use.lamp_blinks) * 1e-3).epsilon(0.1));
    CHECK(use.sensors > 0s);
    CHECK(use.sensors < 10s);
}

TEST_CASE("a host that is there is accounted for apart") {
    Logger logger{10};
    const EnergyUse before = logger.board.energy().use();
    logger.host.plug();
    logger.board.run_for(10s);
    logger.host.unplug();
    const EnergyUse use = logger.board.energy().use() - before;
    CHECK(seconds(use.host) == doctest::Approx(10.5));
}

TEST_CASE("a cable pulled in the middle of a live reading leaves the logger asleep, not waiting") {
    Logger logger{60};
    logger.host.plug();
    wire::LiveRequest watch{};
    watch.on = 1;
    logger.host.ask(wire::MessageType::live, watch);
    const std::uint64_t conversions = logger.board.converter().conversions();
    const Time began = logger.board.energy().use().converter;
    // Until a conversion is under way.
    while (logger.board.energy().use().converter == began)
        logger.board.run_for(1ms);
    CHECK(logger.board.converter().conversions() == conversions);
    logger.host.unplug();
    logger.board.run_for(2s);
    const EnergyUse use = logger.use_of(30s);
    CHECK(asleep(use.cycles, SleepMode::power_down) > 0.98 * 30 * board::cpu_hz);
    CHECK_MESSAGE(logger.board.findings().empty(), logger.board.findings().to_text());
}

TEST_CASE("a busy session: no interrupt keeps the others waiting, and the memory is enough") {
    // At 7.3728 MHz a byte takes 87 us at 115200 baud.
    constexpr double longest_us = 60;
    // 2 KB are 2048; what lies between is for what this session does not do.
    constexpr int most_ram = 1638;

    Logger logger{1};
    Board& board = logger.board;
    board.run_for(30min); // readings, checks, sectors erased
    logger.host.plug();
    logger.host.hello();
    wire::LiveRequest watch{};
    watch.on = 1;
    logger.host.ask(wire::MessageType::live, watch);
    board.run_for(20s);
    const wire::StatusReply status = logger.host.status();
    logger.host.download(status.tail_sequence, status.next_sequence);
    board.run_for(12min); // past another stimulus, while a host watches
    logger.host.unplug();
    board.run_for(1min);

    const auto& routines = board.interrupts().routines();
    for (const char* needed : {"PCINT0", "PCINT2", "WDT", "USART_RX", "USART_UDRE", "ADC"})
        CHECK_MESSAGE(
            std::ranges::any_of(
                routines, [&](const auto& entry) { return vector_name(entry.first) == needed; }),
            needed, " never ran");
    for (const auto& [vector, routine] : routines) {
        const double length_us = static_cast<double>(routine.longest) * 1e6 / board::cpu_hz;
        MESSAGE(vector_name(vector), ": ", routine.runs, " runs, longest ", length_us, " us");
        CHECK(length_us <= longest_us);
    }
    const RamUse ram = board.ram_use();
    MESSAGE("static ", ram.static_data, ", stack ", ram.stack, " bytes");
    CHECK(ram.static_data + ram.stack <= most_ram);
    CHECK_MESSAGE(board.findings().empty(), board.findings().to_text());
}
