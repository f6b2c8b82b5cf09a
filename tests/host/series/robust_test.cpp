#include "series/robust.h"

#include "series/trace.h"

#include <cmath>
#include <doctest/doctest.h>
#include <random>

using namespace quaycell;

TEST_CASE("a median leaves out what is missing and does not mind what is far off") {
    CHECK(median_of({3, 1, 2}) == 2);
    CHECK(median_of({4, 1, 3, 2}) == 2.5);
    CHECK(median_of({-900, missing_value, -901, 5e9}) == -900);
    CHECK(std::isnan(median_of({})));
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
