#include "series/statistics.h"

#include "series/trace.h"

#include <cmath>
#include <doctest/doctest.h>

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
