// The microcontroller's own peripherals, seen by a program that runs on it.
#include "bench/board.h"

#include "board/circuit.h"

#include <doctest/doctest.h>

using namespace quaycell::bench;
using namespace std::chrono_literals;
namespace board = quaycell::board;

namespace {

Scenario calm() {
    return parse_scenario(R"(start = 2026-05-04T06:00:00Z
[logger]
clock_set = true
[potential_mv]
base = -900
[temperature_c]
base = 12
[salinity_psu]
base = 30
)",
                          "calm.toml");
}

struct Probe {
    Board board{read_firmware(QUAYCELL_PROBE_ELF), calm()};

    Probe() {
        board.set_host_present(true);
        board.run_for(1ms);
    }
    void send(const std::string& bytes) {
        board.send({reinterpret_cast<const std::uint8_t*>(bytes.data()), bytes.size()});
    }
    std::vector<std::uint8_t> ask(const std::string& bytes, Time time = 50ms) {
        send(bytes);
        board.run_for(time);
        return board.take_output();
    }
};

unsigned word(const std::vector<std::uint8_t>& bytes, std::size_t at) {
    return bytes[at] | static_cast<unsigned>(bytes[at + 1]) << 8;
}

} // namespace

TEST_CASE("a polled master of the two-wire bus sees every status of the data sheet") {
    Probe probe;
    const auto seen = probe.ask("t");
    REQUIRE(seen.size() == 12);
    // Start, address, register, repeated start, address, byte with acknowledge.
    const std::vector<std::uint8_t> first{seen.begin(), seen.begin() + 6};
    CHECK(first == std::vector<std::uint8_t>{0x08, 0x18, 0x28, 0x10, 0x40, 0x50});
    // Nine bits of 20 cycles at 369 kHz, and the loop that waits.
    CHECK(word(seen, 6) >= 180);
    CHECK(word(seen, 6) <= 230);
    CHECK(seen[8] == 0x1C); // the clock chip's control register
    CHECK(seen[9] == 0x58);
    CHECK(seen[10] == 0x08);
    CHECK(seen[11] == 0x20); // nobody there
    CHECK(probe.board.findings().empty());
}

TEST_CASE("a receiver that nobody listens to keeps three bytes and loses the rest") {
    Probe probe;
    const auto seen = probe.ask("o" + std::string(50, 'x'));
    REQUIRE(seen.size() == 2);
    CHECK(seen[0] == 3);
    CHECK(seen[1] != 0);
}

TEST_CASE("an EEPROM write takes 3.4 ms") {
    Probe probe;
    const auto seen = probe.ask("e");
    REQUIRE(seen.size() == 3);
    CHECK(word(seen, 0) == doctest::Approx(3400e-6 * board::cpu_hz / 8).epsilon(0.01));
    CHECK(seen[2] == 0x5A);
    CHECK(probe.board.eeprom().bytes()[200] == 0x5A);
}

TEST_CASE("an SPI byte at half the clock takes sixteen cycles and the loop") {
    Probe probe;
    const auto seen = probe.ask("s");
    REQUIRE(seen.size() == 3);
    CHECK(word(seen, 0) >= 16);
    CHECK(word(seen, 0) <= 32);
    CHECK(seen[2] == 0xFF); // nobody is selected
}

TEST_CASE("in power-down only the pin wakes, timers stand still and bytes are lost") {
    Probe probe;
    probe.send("p");
    probe.board.run_for(20ms);
    probe.ask("ccc", 1s); // not heard
    const CycleCount before = probe.board.cycles();
    CHECK(before.asleep[2] > board::cpu_hz);
    probe.board.set_host_present(false);
    probe.board.set_host_present(true);
    const auto seen = probe.ask("");
    REQUIRE(seen.size() == 3);
    CHECK(seen[0] == 1);
    CHECK(word(seen, 1) < 50); // by 8: the instructions round the sleep, not the second
    CHECK(probe.board.cycles().starting == before.starting + 1024);
    CHECK(probe.board.findings().empty());
}

TEST_CASE("the watchdog interrupts as often as asked, then resets and says so") {
    Probe probe;
    CHECK(probe.ask("c") == std::vector<std::uint8_t>{0x01}); // power-on
    const auto barks = probe.ask("w", 60ms);                  // three times 16 ms
    CHECK(barks == std::vector<std::uint8_t>{3});
    probe.ask("", 40ms);
    CHECK(probe.ask("c") == std::vector<std::uint8_t>{0x08}); // watchdog
}

TEST_CASE("a power cut leaves noise in SRAM and the power-on flag") {
    Probe probe;
    probe.ask("w", 100ms);
    probe.board.cut_power();
    probe.board.run_for(1ms);
    CHECK(probe.ask("c") == std::vector<std::uint8_t>{0x01});
}

TEST_CASE("going to sleep in the middle of a byte tears it and is told of") {
    Probe probe;
    CHECK(probe.ask("n").empty());
    REQUIRE(probe.board.findings().count() == 1);
    CHECK(probe.board.findings().kept()[0].what ==
          "asleep while the UART is sending: the byte is torn");
}

TEST_CASE("a firmware that runs off the rails stops the run with a message") {
    const auto last_words = [](const char* command) -> std::string {
        Probe probe;
        try {
            probe.ask(command);
        } catch (const FirmwareCrashed& crash) {
            return crash.what();
        }
        return "none";
    };
    CHECK(last_words("x").ends_with("SLEEP with interrupts disabled, it would never wake"));
    CHECK(last_words("y").starts_with("the firmware crashed at 0.00"));
    CHECK(last_words("y").ends_with("invalid instruction or address"));
    CHECK(last_words("c") == "none");
}
