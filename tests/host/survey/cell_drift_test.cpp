#include "survey/cell_drift.h"

#include <cmath>
#include <doctest/doctest.h>
#include <random>

using namespace quaycell;

namespace {

/// A reading a second, from `from_s` on for so many seconds.
template <typename Potential>
CellSettling watched(double from_s, int seconds, Potential potential_mv) {
    CellDrift drift;
    for (int s = 0; s <= seconds; ++s)
        drift.take(from_s + s, potential_mv(s));
    return drift.now();
}

} // namespace

TEST_CASE("a cell that stands still has settled after five minutes, not before") {
    const auto still = [](int) { return -870.0; };
    CHECK(std::isnan(watched(0, 59, still).drift_mv));
    CHECK(watched(0, 60, still).drift_mv == doctest::Approx(0));
    CHECK_FALSE(watched(0, 299, still).settled);
    CHECK(watched(0, 300, still).settled);
    CHECK(watched(4e9, 300, still).settled);
    CHECK(cell_settled_criterion() == "drifts by no more than 2 mV in 5 min");
}

TEST_CASE("a cell that drifts is told by how much in five minutes, whatever was watched") {
    // 0.01 mV/s is 3 mV in 5 min.
    const auto drifting = [](int s) { return -900 + 0.01 * s; };
    for (const int seconds : {60, 200, 300, 1000}) {
        const CellSettling settling = watched(7, seconds, drifting);
        CHECK(settling.drift_mv == doctest::Approx(3));
        CHECK_FALSE(settling.settled);
    }
    CHECK(watched(0, 300, [](int s) { return -900 - 0.0066 * s; }).settled);
    CHECK_FALSE(watched(0, 300, [](int s) { return -900 - 0.0067 * s; }).settled);
}

TEST_CASE("what was more than five minutes ago no longer counts") {
    CHECK(watched(0, 620, [](int s) { return s < 310 ? -900 + 0.1 * s : -870.0; }).settled);
    CHECK(watched(0, 5000, [](int) { return -870.0; }).watched_s == cell_watch_s);
}

TEST_CASE("a break, a step back of the clock and a new state of the boat begin anew") {
    CellDrift drift;
    for (int s = 0; s <= 300; ++s)
        drift.take(s, -870);
    REQUIRE(drift.now().settled);
    CellDrift broken = drift;
    broken.take(311, -870);
    CHECK(broken.now().watched_s == 0);
    CellDrift back = drift;
    back.take(299, -870);
    CHECK(back.now().watched_s == 0);
    CellDrift held = drift;
    held.take(310, -870);
    CHECK(held.now().settled);
    CellDrift jumped = drift;
    jumped.take(301, -865);
    CHECK(jumped.now().watched_s == cell_watch_s); // 5 mV may be noise
    jumped.take(302, -859.9);
    CHECK(jumped.now().watched_s == 0);
    drift.restart();
    CHECK(drift.now().watched_s == 0);
    CHECK_FALSE(drift.now().settled);
}

TEST_CASE("noise of the converter's size hardly moves the drift over five minutes") {
    // By the formula for a line through n equal steps: 300 s * sigma * sqrt(12/n) / T.
    constexpr double sigma_mv = 0.3;
    std::mt19937 random(8);
    std::normal_distribution<double> noise_mv(0, sigma_mv);
    double squares = 0;
    constexpr int runs = 500;
    for (int run = 0; run < runs; ++run) {
        const CellSettling settling = watched(0, 300, [&](int) { return -870 + noise_mv(random); });
        squares += settling.drift_mv * settling.drift_mv;
    }
    const double expected_mv = sigma_mv * std::sqrt(12.0 / 300);
    CHECK(std::sqrt(squares / runs) == doctest::Approx(expected_mv).epsilon(0.1));
}
