#include "bench/chips/ads1115.h"

#include <doctest/doctest.h>

using namespace quaycell::bench;
using namespace std::chrono_literals;

namespace {

// AIN0 at 1.924 V, AIN1 at 3.3 V, AIN2 and AIN3 at 1.024 V: the cell at -900 mV, no cell B.
double volts(unsigned input, Time, Time) {
    return input == 0 ? 1.924 : input == 1 ? 3.3 : 1.024;
}

double mild(Time) {
    return 25;
}

void write_register(Ads1115& chip, std::uint8_t pointer, std::uint16_t value, Time now) {
    chip.begin(false, now);
    for (const int byte : {int{pointer}, value >> 8, value & 0xFF})
        CHECK(chip.write(static_cast<std::uint8_t>(byte), now));
    chip.end(now);
}

std::uint16_t read_register(Ads1115& chip, std::uint8_t pointer, Time now) {
    chip.begin(false, now);
    chip.write(pointer, now);
    chip.end(now);
    chip.begin(true, now);
    const unsigned high = chip.read(now);
    const unsigned low = chip.read(now);
    chip.end(now);
    return static_cast<std::uint16_t>(high << 8 | low);
}

// Start, 2.048 V, single shot, 8 a second, ready after one conversion.
constexpr std::uint16_t single_shot = 0x8500;
constexpr std::uint16_t ain0_ain3 = 1U << 12, ain1_ain3 = 2U << 12, ain2_ain3 = 3U << 12,
                        ain3_ground = 7U << 12;

int convert(Ads1115& chip, std::uint16_t input, Time now) {
    write_register(chip, 1, single_shot | input, now);
    return static_cast<std::int16_t>(read_register(chip, 0, now + 1s));
}

} // namespace

TEST_CASE("after power-up the registers hold what the data sheet says") {
    Findings findings;
    Ads1115 chip{volts, mild, {}, findings};
    CHECK(read_register(chip, 1, 0s) == 0x8583);
    CHECK(read_register(chip, 2, 0s) == 0x8000);
    CHECK(read_register(chip, 3, 0s) == 0x7FFF);
}

TEST_CASE("an ideal converter gives the voltage difference in 62.5 uV codes") {
    Findings findings;
    Ads1115 chip{volts, mild, {}, findings};
    CHECK(convert(chip, ain0_ain3, 0s) == 14400);   // 0.9 V
    CHECK(convert(chip, ain2_ain3, 2s) == 0);       // shorted
    CHECK(convert(chip, ain3_ground, 4s) == 16384); // 1.024 V
    CHECK(findings.empty());
}

TEST_CASE("beyond its range it gives the last code") {
    Findings findings;
    Ads1115 chip{volts, mild, {}, findings};
    CHECK(convert(chip, ain1_ain3, 0s) == 32767); // 2.276 V of 2.048 V
}

TEST_CASE("gain and offset shift the code as given") {
    Findings findings;
    Ads1115 chip{volts, mild, {.offset_codes = 2, .gain_ppm = 400}, findings};
    CHECK(convert(chip, ain0_ain3, 0s) == 14408); // 14400 * 1.0004 + 2 = 14407.76
    CHECK(convert(chip, ain2_ain3, 2s) == 2);
}

TEST_CASE("noise scatters by its standard deviation and repeats with the seed") {
    Findings findings;
    const ConverterErrors noisy{.noise_codes = 3, .seed = 5};
    Ads1115 chip{volts, mild, noisy, findings}, twin{volts, mild, noisy, findings};
    double sum = 0, squares = 0;
    constexpr int count = 2000;
    for (int i = 0; i < count; ++i) {
        const int off = convert(chip, ain0_ain3, Time{2s} * i) - 14400;
        CHECK(convert(twin, ain0_ain3, Time{2s} * i) - 14400 == off);
        sum += off;
        squares += off * off;
    }
    // The mean of 2000 scatters by 0.07, their deviation by 0.05; rounding adds 1/12 to the
    // variance.
    CHECK(sum / count == doctest::Approx(0).scale(1).epsilon(0.3));
    CHECK(squares / count == doctest::Approx(9.08).epsilon(0.15));
}

TEST_CASE("a conversion takes an eighth of a second, give or take its clock") {
    Findings findings;
    Ads1115 exact{volts, mild, {}, findings}, slow{volts, mild, {.rate_error = -0.04}, findings};
    write_register(exact, 1, single_shot | ain0_ain3, 1s);
    write_register(slow, 1, single_shot | ain0_ain3, 1s);
    CHECK(exact.done_at() == Time{1125025us});   // 125 ms and 25 us to wake up
    CHECK(slow.done_at() == Time{1130233333ns}); // 125 ms / 0.96
    CHECK(read_register(exact, 1, 1124ms) == (0x0500 | ain0_ain3));
    CHECK(read_register(exact, 1, 1126ms) == (0x8500 | ain0_ain3));
}

TEST_CASE("ALERT/RDY pulses only when the thresholds ask for it") {
    Findings findings;
    Ads1115 chip{volts, mild, {}, findings};
    write_register(chip, 1, single_shot, 0s);
    CHECK_FALSE(chip.advance(1s));
    write_register(chip, 2, 0x0000, 1s);
    write_register(chip, 3, 0x8000, 1s);
    write_register(chip, 1, single_shot, 1s);
    CHECK_FALSE(chip.advance(1100ms));
    CHECK(chip.advance(2s));
    CHECK_FALSE(chip.advance(3s));
}

TEST_CASE("a start while it converts is told of") {
    Findings findings;
    Ads1115 chip{volts, mild, {}, findings};
    write_register(chip, 1, single_shot, 0s);
    write_register(chip, 1, single_shot, 10ms);
    CHECK(findings.count() == 1);
}

TEST_CASE("gain and offset drift from 25 degC, and the line bends between 0 and the ends") {
    Findings findings;
    const auto warm = [](Time) { return 50.0; };
    Ads1115 drifting{volts, warm, {.gain_drift_ppm_k = 40, .offset_drift_codes_k = 0.2}, findings};
    CHECK(convert(drifting, ain3_ground, 0s) == 16405); // 16384 * 1.001 + 5
    CHECK(convert(drifting, ain2_ain3, 2s) == 5);
    Ads1115 bent{volts, mild, {.inl_codes = 4}, findings};
    CHECK(convert(bent, ain2_ain3, 0s) == 0);
    CHECK(convert(bent, ain3_ground, 2s) == 16384);
    CHECK(convert(bent, ain0_ain3, 4s) == 14401); // 4 sin(2 pi 14400 / 32768) = 1.49
}
