#include "series/robust.h"

#include "series/trace.h"

#include <algorithm>
#include <cmath>
#include <doctest/doctest.h>
#include <functional>
#include <random>

using namespace quaycell;

TEST_CASE("a median leaves out what is missing and does not mind what is far off") {
    CHECK(median_of({3, 1, 2}) == 2);
    CHECK(median_of({4, 1, 3, 2}) == 2.5);
    CHECK(median_of({-900, missing_value, -901, 5e9}) == -900);
    CHECK(std::isnan(median_of(std::vector<double>{})));
    CHECK(std::isnan(median_of({missing_value})));
}

TEST_CASE("noise is told beneath a slow change, a step and an outlier") {
    std::mt19937 engine(5);
    std::normal_distribution<double> noise(0, 2);
    std::vector<double> values;
    for (int i = 0; i < 20000; ++i)
        values.push_back(noise(engine) + 30 * std::sin(i * 0.001) + (i > 7000 ? 150 : 0));
    values[500] = 4000;
    CHECK(noise_of(values) == doctest::Approx(2).epsilon(0.03));
}

TEST_CASE("one value has no noise, equal values neither") {
    CHECK(noise_of(std::vector<double>{-900}) == 0);
    CHECK(noise_of(std::vector<double>(9, -900)) == 0);
}

TEST_CASE("a spread heeds no extremes while they are less than half") {
    CHECK(spread_of({0, 1, 2, 3, 1000}) == doctest::Approx(1.4826));
    CHECK(spread_of({5, 5, 5, 5, 900, -900}) == 0);
    CHECK(std::isnan(spread_of({})));
}

TEST_CASE(
    "the median is the middle one by sorting, whatever the order and however often they recur") {
    std::mt19937 chance(5);
    for (int round = 0; round < 3000; ++round) {
        const std::size_t count = 1 + chance() % 200;
        const auto different = static_cast<int>(1 + chance() % 60);
        std::vector<double> values;
        for (std::size_t i = 0; i < count; ++i)
            values.push_back(0.5 *
                             static_cast<double>(chance() % static_cast<unsigned>(different)));
        if (round % 3 == 0) std::ranges::sort(values);
        if (round % 3 == 1) std::ranges::sort(values, std::greater<>());
        std::vector<double> sorted = values;
        std::ranges::sort(sorted);
        const double middle = (sorted[(count - 1) / 2] + sorted[count / 2]) / 2;
        REQUIRE(median_of(values) == middle);
    }
}

TEST_CASE("of very many values pieces from all over them tell the median") {
    // One per row, from 0 to 1: the median of any fair choice is near the middle.
    constexpr std::size_t count = 9'000'000;
    const Column<double> rising(count, [](std::size_t first, std::span<double> out) {
        for (std::size_t i = 0; i < out.size(); ++i)
            out[i] = static_cast<double>(first + i) / count;
    });
    CHECK(median_of(rising) == doctest::Approx(0.5).epsilon(0.01));
    const std::vector<double> some = some_of(rising, 0, count);
    CHECK(some.size() < 1'200'000);
    CHECK(some_of(rising, 5, 10) ==
          std::vector<double>{5.0 / count, 6.0 / count, 7.0 / count, 8.0 / count, 9.0 / count});
}
