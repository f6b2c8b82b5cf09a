#include "series/disturbances.h"

#include <doctest/doctest.h>
#include <random>

using namespace quaycell;

namespace {

constexpr Milliseconds interval = std::chrono::seconds{10};
constexpr std::size_t from = 3000, to = 3200;

/// Six hours and more at -800 mV with 1 mV of noise.
Trace berth() {
    Trace trace;
    std::mt19937 engine(23);
    std::normal_distribution<double> noise;
    for (int i = 0; i < 6000; ++i) {
        trace.time.push_back(from_unix_s(10 * i));
        trace.potential_mv.push_back(-800 + noise(engine));
    }
    return trace;
}

void put(Trace& trace, double level_mv, double noise_mv) {
    std::mt19937 engine(29);
    std::normal_distribution<double> noise(level_mv, noise_mv);
    for (std::size_t i = from; i < to; ++i)
        trace.potential_mv[i] = noise(engine);
}

void check_one(const Trace& trace, EventKind kind) {
    const std::vector<Disturbance> found = disturbances_of(trace, interval);
    REQUIRE(found.size() == 1);
    CHECK(found[0].kind == kind);
    CHECK(found[0].first >= from - 1);
    CHECK(found[0].first <= from + 1);
    CHECK(found[0].end >= to - 1);
    CHECK(found[0].end <= to + 1);
}

} // namespace

TEST_CASE("a hull in its water is not disturbed") {
    CHECK(disturbances_of(berth(), interval).empty());
    CHECK(disturbances_of(Trace{}, interval).empty());
}

TEST_CASE("a lead that is open shows the end of the range, or dead zero") {
    for (const double level : {-2048.0, 1023.0, 600.0, 0.0}) {
        Trace trace = berth();
        put(trace, level, 0.2);
        check_one(trace, EventKind::open_lead);
    }
}

TEST_CASE("a cell in the air is noisy") {
    Trace trace = berth();
    put(trace, -350, 90);
    check_one(trace, EventKind::cell_dry);
}

TEST_CASE("far from the hull's level less noise tells as much, from end to end") {
    for (const double noise_mv : {7.0, 10.0}) {
        Trace trace = berth();
        put(trace, -350, noise_mv);
        check_one(trace, EventKind::cell_dry);
    }
}

TEST_CASE("a hull that is drawn far off without noise is not disturbed") {
    Trace trace = berth();
    put(trace, -600, 1.5);
    CHECK(disturbances_of(trace, interval).empty());
}

TEST_CASE("swapped leads show the potential with its sign turned") {
    Trace trace = berth();
    put(trace, 800, 1);
    check_one(trace, EventKind::polarity_reversed);
}

TEST_CASE("a trace that is positive throughout was wired the other way round") {
    Trace trace = berth();
    for (double& each : trace.potential_mv)
        each = -each;
    const std::vector<Disturbance> found = disturbances_of(trace, interval);
    REQUIRE(found.size() == 1);
    CHECK(found[0].kind == EventKind::polarity_reversed);
    CHECK(found[0].first == 0);
    CHECK(found[0].end == trace.time.size());
}

TEST_CASE("a source resistance that no wet cell has is an open lead") {
    Trace trace = berth();
    trace.source_ohm.assign(trace.time.size(), 4000);
    for (std::size_t i = from; i < to; ++i)
        trace.source_ohm[i] = 2e6;
    check_one(trace, EventKind::open_lead);
}

TEST_CASE("what the logger found is believed") {
    Trace trace = berth();
    trace.quality.assign(trace.time.size(), Quality::good);
    for (std::size_t i = from; i < to; ++i)
        trace.quality[i] = Quality::lead_not_good;
    check_one(trace, EventKind::open_lead);
}

TEST_CASE("a bronze hull near zero is not a dead lead") {
    Trace trace = berth();
    for (double& each : trace.potential_mv)
        each += 790; // stainless steel, passive
    CHECK(disturbances_of(trace, interval).empty());
}

TEST_CASE("two single extremes close by are no dry cell") {
    Trace trace = berth();
    for (const std::size_t i : {3000, 3002, 3005})
        trace.potential_mv[i] += i == 3002 ? -70 : 60;
    CHECK(disturbances_of(trace, interval).empty());
}
