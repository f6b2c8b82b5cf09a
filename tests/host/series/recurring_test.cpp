#include "series/recurring.h"

#include "series/robust.h"
#include "series/trace.h"

#include <cmath>
#include <doctest/doctest.h>
#include <random>

using namespace quaycell;

TEST_CASE("a median is the same whether values recur or not, and missing ones do not count") {
    std::mt19937 chance(11);
    for (const unsigned spread : {1U, 2U, 40U, 4'000'000'000U})
        for (const std::size_t count : {1U, 2U, 3U, 10U, 5'001U, 90'000U}) {
            std::vector<double> values;
            for (std::size_t i = 0; i < count; ++i)
                values.push_back(chance() % 7 == 0 ? missing_value
                                                   : 0.25 * static_cast<double>(chance() % spread));
            values.push_back(missing_value);
            values.push_back(3);
            CHECK(median_of_recurring(values) == median_of(values));
        }
    CHECK(median_of_recurring(std::vector<double>{1, 1, 2, 2}) == 1.5);
}

TEST_CASE("of nothing there is no median") {
    CHECK(std::isnan(median_of_recurring({})));
    CHECK(std::isnan(median_of_recurring(std::vector<double>{missing_value, missing_value})));
}
