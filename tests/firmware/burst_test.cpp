#include "logger/burst.h"

#include "board/circuit.h"

#include <algorithm>
#include <cmath>
#include <doctest/doctest.h>
#include <initializer_list>
#include <numbers>

using namespace quaycell;

namespace {

/// 200 samples of what a function of the time in seconds gives in steps.
template <typename Steps>
logger::Burst burst_of(Steps steps, double hz = 1000) {
    logger::Burst burst{};
    for (int i = 0; i < 200; ++i) {
        const auto sample =
            static_cast<uint32_t>(std::clamp(std::floor(steps(i / hz)), 0.0, 1023.0));
        burst.by_phase[i % 8] = static_cast<uint16_t>(burst.by_phase[i % 8] + sample);
        burst.squares += sample * sample;
    }
    return burst;
}

double wave(double hz, double t) {
    return std::sin(2 * std::numbers::pi * hz * t);
}

} // namespace

TEST_CASE("a square root is rounded down, from end to end") {
    for (const uint32_t root : {0u, 1u, 2u, 255u, 256u, 46340u, 65534u}) {
        CHECK(logger::square_root(root * root) == root);
        CHECK(logger::square_root(root * root + 2 * root) == root);
    }
    CHECK(logger::square_root(UINT32_MAX) == 65535);
}

TEST_CASE("the AC code is a hundred times the rms in steps, whatever the level it swings about") {
    for (const double middle : {300.5, 318.0, 512.25})
        for (const double peak : {6.2, 50.0, 250.0})
            for (const double hz : {50.0, 60.0}) {
                CAPTURE(peak);
                const auto burst =
                    burst_of([&](double t) { return middle + peak * wave(hz, t + 0.0003); },
                             double{board::sample_counter_hz} / board::ac_sample_counts);
                // From 0.05 V at the cell on. Beside the steps' own 0.29 of a step, in quadrature.
                const double expected = std::sqrt(peak * peak / 2 + 1.0 / 12);
                CHECK(logger::ac_code(burst) == doctest::Approx(100 * expected).epsilon(0.03));
            }
}

TEST_CASE("12 steps rms of 50 Hz with 5 of 100 Hz are 13") {
    // Made up; recomputed by a separate program.
    const auto burst = burst_of([](double t) {
        const double root = std::numbers::sqrt2;
        return 318 + 12 * root * wave(50, t + 0.3 / (2 * std::numbers::pi * 50)) +
               5 * root * wave(100, t);
    });
    // The steps' own 0.29 in quadrature makes it 13.003; 200 samples of them vary by 0.02.
    CHECK(std::abs(logger::ac_code(burst) - 1300) <= 4);
}

TEST_CASE("a level that does not move has no AC, and the wildest wave does not overflow") {
    CHECK(logger::ac_code(burst_of([](double) { return 318.0; })) == 0);
    CHECK(logger::ac_code(burst_of([](double) { return 1023.0; })) == 0);
    const auto wildest = burst_of([](double t) { return wave(50, t + 0.0003) > 0 ? 1023.0 : 0.0; });
    CHECK(logger::ac_code(wildest) == 51150);
    CHECK(logger::source_code(
              burst_of([](double t) { return wave(125, t + 0.0003) > 0 ? 1023.0 : 0.0; })) == 254);
}

TEST_CASE("the source code is the peak of what keeps step with the stimulus, in any phase") {
    for (const double peak : {1.7, 6.2, 14.6, 52.4}) // 5.5, 20, 47 and 169 mV in steps
        for (int shift = 0; shift < 8; ++shift) {
            const double late_s = 0.00037 + shift * 0.0011;
            const auto burst =
                burst_of([&](double t) { return 318.3 + peak * wave(125, t - late_s); });
            // A code is 320 of 1300 a step.
            CHECK(std::abs(logger::source_code(burst) - peak * 1300 / 320) <= 1.6);
        }
}

TEST_CASE("of a square wave the source code is its fundamental alone") {
    // Fourier: 4 / pi of the square's height, and the third and the fifth harmonic, a third and a
    // fifth of that, the fifth seen at eight samples a cycle as the third is.
    const auto code = [](double third, double fifth) {
        return logger::source_code(burst_of([&](double t) {
            return 318.3 + 40 * wave(125, t + 0.0003) + third * wave(375, t + 0.0003) +
                   fifth * wave(625, t + 0.0003);
        }));
    };
    CHECK(std::abs(code(0, 0) - 40 * 1300 / 320) <= 1);
    CHECK(std::abs(code(40. / 3, 40. / 5) - code(0, 0)) <= 1);
}

TEST_CASE("AC of 50 and 60 Hz does not look like a stimulus") {
    for (const double hz : {50.0, 60.0})
        for (int shift = 0; shift < 10; ++shift) {
            // 2 V rms at the cell.
            const auto burst =
                burst_of([&](double t) { return 318.3 + 250 * wave(hz, t + shift * 0.0013); });
            CHECK(logger::source_code(burst) <= 1);
        }
}
