#include "series/cycles.h"

#include <cmath>
#include <doctest/doctest.h>
#include <numbers>
#include <random>

using namespace quaycell;

namespace {

struct Record {
    std::vector<Instant> time;
    std::vector<double> value;
    std::vector<std::size_t> level;
};

double wave(double amplitude, double period_h, double high_at_h, double at_h) {
    return amplitude * std::cos(2 * std::numbers::pi * (at_h - high_at_h) / period_h);
}

/// A reading each minute: tide of 12.42 h, day, drift, noise; after half of it a step of 80 mV.
Record record(double days, double tide_mv, double day_mv, double noise_mv) {
    Record made;
    std::mt19937 engine(3);
    std::normal_distribution<double> noise(0, noise_mv);
    const auto count = static_cast<std::size_t>(days * 1440);
    for (std::size_t i = 0; i < count; ++i) {
        const double at_h = static_cast<double>(i) / 60;
        const bool stepped = i > count / 2;
        made.time.push_back(from_unix_s(static_cast<std::int64_t>(60 * i)));
        made.value.push_back(-980 + 0.05 * at_h + wave(tide_mv, 12.42, 3, at_h) +
                             wave(day_mv, 24, 15, at_h) + (stepped ? 80 : 0) + noise(engine));
        made.level.push_back(stepped);
    }
    return made;
}

Cycles cycles_of(const Record& made) {
    return quaycell::cycles_of(made.time, made.value, made.level);
}

} // namespace

TEST_CASE("a week tells tide and day, across a step and a drift") {
    const Cycles cycles = cycles_of(record(7, 12, 4, 1));
    REQUIRE(cycles.found.size() == 2);
    CHECK(cycles.found[0].name == "tide");
    CHECK(cycles.found[0].amplitude_mv == doctest::Approx(12).epsilon(0.02));
    CHECK(std::abs(cycles.found[0].amplitude_mv - 12) < 3 * cycles.found[0].uncertainty_mv);
    CHECK(std::abs(seconds_between(from_unix_s(3 * 3600), cycles.found[0].high_at)) < 300);
    CHECK(cycles.found[1].period_h == 24);
    CHECK(cycles.found[1].amplitude_mv == doctest::Approx(4).epsilon(0.05));
    CHECK(cycles.why_none.find("29.6 days") != std::string::npos);
}

TEST_CASE("two months tell the sun's tide and the daily tide from the rest") {
    Record made = record(60, 12, 4, 1);
    for (std::size_t i = 0; i < made.time.size(); ++i) {
        const double at_h = static_cast<double>(i) / 60;
        made.value[i] += wave(3, 12, 1, at_h) + wave(2, 24.84, 1, at_h);
    }
    const Cycles cycles = cycles_of(made);
    CHECK(cycles.why_none.empty());
    REQUIRE(cycles.found.size() == 4);
    for (const Cycle& cycle : cycles.found) {
        const double truth = cycle.period_h == 12.42   ? 12
                             : cycle.period_h == 12.00 ? 3
                             : cycle.period_h == 24.00 ? 4
                                                       : 2;
        CHECK(cycle.amplitude_mv == doctest::Approx(truth).epsilon(0.03));
    }
}

TEST_CASE("what was fitted is what is taken off") {
    const Record made = record(7, 12, 4, 0);
    const Cycles cycles = cycles_of(made);
    for (std::size_t i = 0; i < made.time.size(); i += 97) {
        const double at_h = static_cast<double>(i) / 60;
        CHECK(std::abs(cycles.at_mv(made.time[i]) -
                       (wave(12, 12.42, 3, at_h) + wave(4, 24, 15, at_h))) < 0.1);
    }
}

TEST_CASE("noise has no cycle") {
    CHECK(cycles_of(record(7, 0, 0, 3)).found.empty());
}

TEST_CASE("less than two days tell no cycle, and say so") {
    const Cycles cycles = cycles_of(record(1.9, 12, 4, 1));
    CHECK(cycles.found.empty());
    CHECK(cycles.why_none == "a record of 46 h tells no tide and no day; 48 h would");
    CHECK(cycles_of(Record{}).found.empty());
}
