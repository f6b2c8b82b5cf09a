#include "series/statistics.h"

#include "series/trace.h"

#include <cmath>
#include <doctest/doctest.h>
#include <random>

using namespace quaycell;

namespace {

std::vector<Milliseconds> each(std::size_t count) {
    return std::vector(count, Milliseconds{10000});
}

} // namespace

TEST_CASE("of equal times the percentiles are the plain ones") {
    // 1 to 100: 5 of 100 values are up to 5, so that the percentile is midway to the next.
    std::vector<double> values;
    for (int i = 100; i >= 1; --i)
        values.push_back(i);
    const Statistics found = statistics_of(values, each(values.size()));
    CHECK(found.median_mv == 50.5);
    CHECK(found.p5_mv == 5.5);
    CHECK(found.p95_mv == 95.5);
    CHECK(found.min_mv == 1);
    CHECK(found.max_mv == 100);
    CHECK(statistics_of(std::vector{3.0, 1.0, 2.0}, each(3)).median_mv == 2);
}

TEST_CASE("a value counts by the time it stands for") {
    const std::vector<Milliseconds> stands_for{Milliseconds{94}, Milliseconds{6}};
    const Statistics found = statistics_of(std::vector{-1000.0, -800.0}, stands_for);
    CHECK(found.median_mv == -1000);
    CHECK(found.p5_mv == -1000);
    CHECK(found.p95_mv == -800);
}

TEST_CASE("missing values count for nothing") {
    const Statistics found =
        statistics_of(std::vector{missing_value, -900.0, missing_value}, each(3));
    CHECK(found.median_mv == -900);
    CHECK(found.min_mv == -900);
    CHECK(std::isnan(statistics_of(std::vector{missing_value}, each(1)).median_mv));
    CHECK(std::isnan(statistics_of({}, {}).max_mv));
}

TEST_CASE("two readings that stand for no time are the ends of their own statistics") {
    const Statistics found =
        statistics_of(std::vector{-900.0, -1000.0}, std::vector(2, Milliseconds{0}));
    CHECK(found.median_mv == -950);
    CHECK(found.p5_mv == -1000);
    CHECK(found.p95_mv == -900);
}

TEST_CASE("a single reading that stands for no time is still its own statistics") {
    const Statistics found = statistics_of(std::vector{-900.0}, std::vector{Milliseconds{0}});
    CHECK(found.median_mv == -900);
    CHECK(found.p95_mv == -900);
}

TEST_CASE("percentiles without keeping the values are exact where classes are narrow enough") {
    Percentiles found(0, 101, 1010);
    for (int i = 100; i >= 1; --i)
        found.add(i, 10000);
    CHECK(found.percentile(50) == 50.5);
    CHECK(found.percentile(5) == 5.5);
    CHECK(found.percentile(95) == 95.5);
    CHECK(std::isnan(Percentiles(0, 1, 10).percentile(50)));
}

TEST_CASE("percentiles of any number of values lie within a class of those by sorting") {
    std::mt19937 chance(3);
    std::normal_distribution<double> value(-950, 40);
    std::uniform_int_distribution<int> seconds(1, 60);
    std::vector<double> values;
    std::vector<Milliseconds> stands_for;
    // Two halves, put together, and values beyond both ends.
    Percentiles found(-1100, -800, 3000), half = found;
    for (int i = 0; i < 20'000; ++i) {
        values.push_back(value(chance));
        stands_for.push_back(std::chrono::seconds{seconds(chance)});
        (i % 2 == 0 ? found : half).add(values.back(), stands_for.back().count());
    }
    found.add(half);
    CHECK(found.class_width() == doctest::Approx(0.1));
    const Statistics sorted = statistics_of(values, stands_for);
    CHECK(std::abs(found.percentile(5) - sorted.p5_mv) <= 0.1);
    CHECK(std::abs(found.percentile(50) - sorted.median_mv) <= 0.1);
    CHECK(std::abs(found.percentile(95) - sorted.p95_mv) <= 0.1);
}
