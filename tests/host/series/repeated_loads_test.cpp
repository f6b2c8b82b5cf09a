#include "series/repeated_loads.h"

#include <algorithm>
#include <doctest/doctest.h>

using namespace quaycell;

namespace {

constexpr std::chrono::seconds interval{10};

Instant minute(double at) {
    return Instant{Milliseconds{static_cast<std::int64_t>(at * 60'000)}};
}

/// Pulses of so many mV and minutes, from a minute on.
void add_pulses(std::vector<TimedStep>& steps, int count, double from, double length, double period,
                double height_mv) {
    for (int i = 0; i < count; ++i) {
        steps.push_back({minute(from + i * period), height_mv});
        steps.push_back({minute(from + i * period + length), -height_mv});
    }
}

void sort_by_time(std::vector<TimedStep>& steps) {
    std::ranges::sort(steps, {}, &TimedStep::time);
}

constexpr double hour = 60, day = 24 * hour; // [min]

std::vector<RepeatedLoad> loads(const std::vector<TimedStep>& steps) {
    return repeated_loads(steps, 1, interval);
}

} // namespace

TEST_CASE("three alike are a load, two are not") {
    std::vector<TimedStep> steps;
    add_pulses(steps, 2, 10, 5, 60, 12);
    CHECK(loads(steps).empty());
    add_pulses(steps, 1, 130, 5, 60, 12);
    const auto found = loads(steps);
    REQUIRE(found.size() == 1);
    CHECK(found[0].steps == std::vector<std::size_t>{0, 1, 2, 3, 4, 5});
    CHECK(found[0].height_mv == 12);
    CHECK(found[0].length == std::chrono::minutes{5});
    CHECK(found[0].period == std::chrono::minutes{60});
}

TEST_CASE("a load that runs longer than it rests is still switched on first") {
    std::vector<TimedStep> steps;
    add_pulses(steps, 8, 10, 40, 60, -12);
    const auto found = loads(steps);
    REQUIRE(found.size() == 1);
    CHECK(found[0].steps.front() == 0);
    CHECK(found[0].height_mv == -12);
    CHECK(found[0].length == std::chrono::minutes{40});
}

TEST_CASE("a tide that makes the first step look higher does not turn the load round") {
    std::vector<TimedStep> steps;
    add_pulses(steps, 10, 10, 13, 66, -10);
    steps[0].height_mv = -12.4;
    steps[1].height_mv = 7.6;
    const auto found = loads(steps);
    REQUIRE(found.size() == 1);
    CHECK(found[0].steps.size() == 20);
    CHECK(found[0].height_mv == doctest::Approx(-10));
}

TEST_CASE("periods and lengths that vary are one load") {
    std::vector<TimedStep> steps;
    double from = 10;
    for (const double period : {50.0, 70.0, 62.0, 48.0, 55.0, 71.0}) {
        add_pulses(steps, 1, from, 8 + period / 30, period, 15);
        from += period;
    }
    const auto found = loads(steps);
    REQUIRE(found.size() == 1);
    CHECK(found[0].pulses == 6);
}

TEST_CASE("what falls into a load stays what it is") {
    std::vector<TimedStep> steps;
    add_pulses(steps, 4, 10, 5, 60, 12);
    steps.push_back({minute(230), 40});
    add_pulses(steps, 4, 250, 5, 60, 12);
    const auto found = loads(steps);
    REQUIRE(found.size() == 1);
    CHECK(found[0].pulses == 8);
    CHECK(std::ranges::find(found[0].steps, 8) == found[0].steps.end());
}

TEST_CASE("two loads one after the other are two, each with its own steps") {
    std::vector<TimedStep> steps;
    add_pulses(steps, 6, 10, 11, 66, 35);
    add_pulses(steps, 8, 430, 8, 40, -30);
    const auto found = loads(steps);
    REQUIRE(found.size() == 2);
    CHECK(found[0].height_mv == 35);
    CHECK(found[1].height_mv == -30);
    CHECK(found[1].steps.front() == 12);
}

TEST_CASE("a charger once a day between the pulses of a pump three times a day keeps its own") {
    std::vector<TimedStep> steps;
    add_pulses(steps, 21, 3 * hour, 10, 8 * hour, 30);
    add_pulses(steps, 7, 5 * hour, 90, day, 22);
    sort_by_time(steps);
    const auto found = loads(steps);
    REQUIRE(found.size() == 2);
    CHECK(found[0].steps.size() == 42);
    CHECK(found[0].height_mv == 30);
    CHECK(found[0].period == std::chrono::hours{8});
    CHECK(found[1].steps.size() == 14);
    CHECK(found[1].height_mv == 22);
    CHECK(found[1].period == std::chrono::hours{24});
}

TEST_CASE("pulses within another load's, or across its ends, are both told") {
    for (const double from_h : {2.5, 3.1}) {
        for (const double height_mv : {22.0, 30.0, -18.0}) {
            if (from_h > 3 && height_mv == 30) continue; // nobody could tell whose end is whose
            std::vector<TimedStep> steps;
            add_pulses(steps, 21, 3 * hour, 10, 8 * hour, 30);
            add_pulses(steps, 7, from_h * hour, 100, day, height_mv);
            sort_by_time(steps);
            const auto found = loads(steps);
            REQUIRE(found.size() == 2);
            CHECK(found[0].steps.size() + found[1].steps.size() == steps.size());
            CHECK(found[from_h < 3 ? 0 : 1].height_mv == height_mv);
        }
    }
}

TEST_CASE("a load that comes twice each morning is one load") {
    std::vector<TimedStep> steps;
    add_pulses(steps, 7, 8 * hour, 10, day, 20);
    add_pulses(steps, 7, 9 * hour, 10, day, 20);
    sort_by_time(steps);
    const auto found = loads(steps);
    REQUIRE(found.size() == 1);
    CHECK(found[0].pulses == 14);
    CHECK(found[0].shortest_period == std::chrono::hours{1});
    CHECK(found[0].longest_period == std::chrono::hours{23});
}

TEST_CASE("a step nearly as high that comes at no time of the load's is none of it") {
    std::vector<TimedStep> steps;
    add_pulses(steps, 6, 10, 5, 60, 20);
    steps.push_back({minute(10 + 2 * 60 + 33), 18});
    sort_by_time(steps);
    const auto found = loads(steps);
    REQUIRE(found.size() == 1);
    CHECK(found[0].steps.size() == 12);
}

TEST_CASE("half of a pulse that was missed is the load's where its time has come") {
    std::vector<TimedStep> steps;
    add_pulses(steps, 8, 10, 5, 60, 20);
    steps[6].height_mv = 27; // together with something else: no pulse of like heights
    const auto found = loads(steps);
    REQUIRE(found.size() == 1);
    CHECK(found[0].pulses == 7);
    CHECK(found[0].steps.size() == 16);
}

TEST_CASE("pulses whose heights spread by noise are one load where only all of them are regular") {
    std::vector<TimedStep> steps;
    for (int i = 0; i < 12; ++i)
        add_pulses(steps, 1, 10 + 26 * i, 6, 26, i % 3 == 1 ? 41 : 35);
    const auto found = loads(steps);
    REQUIRE(found.size() == 1);
    CHECK(found[0].pulses == 12);
    CHECK(found[0].period == std::chrono::minutes{26});
}
