#include "bench/chips/ds3231.h"

#include <doctest/doctest.h>

#include <initializer_list>
#include <vector>

using namespace quaycell::bench;
using namespace std::chrono_literals;

namespace {

// 2026-05-04 06:00:00 UTC, a Monday.
constexpr std::int64_t start_unix_s = 1777874400;

double mild(Time) {
    return 18.25;
}

void write_registers(Ds3231& chip, Time now, std::initializer_list<int> bytes) {
    chip.begin(false, now);
    for (const int byte : bytes)
        chip.write(static_cast<std::uint8_t>(byte), now);
    chip.end(now);
}

std::vector<int> read_registers(Ds3231& chip, Time now, int first, int count) {
    write_registers(chip, now, {first});
    chip.begin(true, now);
    std::vector<int> bytes;
    for (int i = 0; i < count; ++i)
        bytes.push_back(chip.read(now));
    chip.end(now);
    return bytes;
}

constexpr int control = 0x0E, status = 0x0F;
constexpr int alarm_by_battery = 0x45; // BBSQW, INTCN, A1IE

} // namespace

TEST_CASE("a chip that lost its battery says so and starts at 2000") {
    Findings findings;
    Ds3231 chip{std::nullopt, 0, mild, findings};
    CHECK(read_registers(chip, 0s, status, 1) == std::vector{0x88});
    CHECK(chip.unix_s(10s) == 946684810); // 2000-01-01 00:00:10
}

TEST_CASE("time is read in binary-coded decimals, and carries over the month's end") {
    Findings findings;
    Ds3231 chip{start_unix_s, 0, mild, findings};
    CHECK(read_registers(chip, 59s, 0, 7) == std::vector{0x59, 0x00, 0x06, 0x05, 0x04, 0x05, 0x26});
    // 27 d 18 h later it is 2026-06-01 00:00:00.
    CHECK(read_registers(chip, 27 * 24h + 18h, 0, 7) ==
          std::vector{0x00, 0x00, 0x00, 0x05, 0x01, 0x06, 0x26});
    CHECK(read_registers(chip, 0s, status, 1) == std::vector{0x08});
}

TEST_CASE("setting the clock starts a new second and clears nothing by itself") {
    Findings findings;
    Ds3231 chip{std::nullopt, 0, mild, findings};
    write_registers(chip, 700ms, {0, 0x30, 0x59, 0x23, 1, 0x28, 0x02, 0x28}); // leap year
    CHECK(chip.unix_s(1699ms) == 1835395170);                                 // 2028-02-28 23:59:30
    CHECK(chip.unix_s(1700ms) == 1835395171);
    CHECK(read_registers(chip, 31s, 3, 4) == std::vector{0x02, 0x29, 0x02, 0x28});
    CHECK(read_registers(chip, 31s, status, 1) == std::vector{0x88});
    write_registers(chip, 31s, {status, 0x08});
    CHECK(read_registers(chip, 31s, status, 1) == std::vector{0x08});
    CHECK(findings.empty());
}

TEST_CASE("a clock 2 ppm fast gains a second in 500 000") {
    Findings findings;
    Ds3231 chip{start_unix_s, 2, mild, findings};
    CHECK(chip.unix_s(499'999s) == start_unix_s + 499'999);
    CHECK(chip.unix_s(500'000s) == start_unix_s + 500'001);
}

TEST_CASE("each mode of alarm 1 matches when it should") {
    Findings findings;
    Ds3231 chip{start_unix_s, 0, mild, findings}; // Monday the 4th, 06:00:00
    constexpr int any = 0x80;
    struct Mode {
        const char* name;
        int second, minute, hour, day;
        Time next;
    };
    for (const Mode& mode : std::initializer_list<Mode>{
             {"every second", any, any, any, any, 1s},
             {"at a second", 0x10, any, any, any, 10s},
             {"at minute and second", 0x10, 0x05, any, any, 5min + 10s},
             {"at hour, minute and second", 0x00, 0x30, 0x05, any, 23h + 30min},
             {"on a date", 0x00, 0x00, 0x06, 0x05, 24h},
             {"on a date of the next month", 0x00, 0x00, 0x06, 0x03, 30 * 24h},
             // Day 5 of the week is today, as this chip counts from where it was set.
             {"on a day of the week", 0x00, 0x00, 0x06, 0x40 | 6, 24h}}) {
        INFO(mode.name);
        write_registers(chip, 0s, {7, mode.second, mode.minute, mode.hour, mode.day});
        write_registers(chip, 0s, {control, alarm_by_battery});
        REQUIRE(chip.next_interrupt(0s));
        CHECK(*chip.next_interrupt(0s) == mode.next);
    }
}

TEST_CASE("the alarm pulls INT low until its flag is cleared") {
    Findings findings;
    Ds3231 chip{start_unix_s, 0, mild, findings};
    write_registers(chip, 0s, {7, 0x10, 0x80, 0x80, 0x80});
    write_registers(chip, 0s, {control, alarm_by_battery, 0x00});
    chip.advance(9999ms);
    CHECK_FALSE(chip.interrupting());
    chip.advance(10s);
    CHECK(chip.interrupting());
    CHECK(read_registers(chip, 10s, status, 1) == std::vector{0x01});
    write_registers(chip, 10s, {status, 0x00});
    CHECK_FALSE(chip.interrupting());
    CHECK(chip.next_interrupt(10s) == Time{70s});
}

TEST_CASE("without BBSQW a chip on its battery pin keeps INT to itself") {
    Findings findings;
    Ds3231 chip{start_unix_s, 0, mild, findings};
    write_registers(chip, 0s, {7, 0x80, 0x80, 0x80, 0x80});
    write_registers(chip, 0s, {control, 0x05, 0x00});
    chip.advance(5s);
    CHECK_FALSE(chip.interrupting());
    CHECK_FALSE(chip.next_interrupt(5s));
}

TEST_CASE("temperature comes in quarters of a degree, below zero too") {
    Findings findings;
    Ds3231 warm{start_unix_s, 0, mild, findings};
    CHECK(read_registers(warm, 0s, 0x11, 2) == std::vector{0x12, 0x40});
    Ds3231 cold{start_unix_s, 0, [](Time) { return -0.5; }, findings};
    CHECK(read_registers(cold, 0s, 0x11, 2) == std::vector{0xFF, 0x80});
}

TEST_CASE("a date that does not exist is told of") {
    Findings findings;
    Ds3231 chip{start_unix_s, 0, mild, findings};
    write_registers(chip, 0s, {0, 0, 0, 0, 1, 0x30, 0x02, 0x26});
    CHECK(findings.count() == 1);
}
