#include "electrode/spread.h"

#include <cmath>
#include <doctest/doctest.h>

using namespace quaycell;

namespace {

double normal_beyond(double standard_deviations) {
    return std::erfc(standard_deviations / std::sqrt(2.0)) / 2;
}

} // namespace

TEST_CASE("An expanded uncertainty alone is that of a normal distribution") {
    const Spread spread(12);
    CHECK(spread.standard_mv() == 6);
    CHECK(spread.probability_beyond(12) == doctest::Approx(0.02275).epsilon(1e-3));
    CHECK(spread.probability_beyond(0) == 0.5);
    CHECK(spread.probability_beyond(-12) == doctest::Approx(0.97725).epsilon(1e-5));
}

TEST_CASE("Without any uncertainty the true value is the reading") {
    const Spread certain(0);
    CHECK(certain.probability_beyond(0.1) == 0);
    CHECK(certain.probability_beyond(0) == 0);
    CHECK(certain.probability_beyond(-0.1) == 1);
}

TEST_CASE("One rectangle alone is a straight ramp between its ends") {
    const Spread spread(0, {10});
    CHECK(spread.standard_mv() == doctest::Approx(10 / std::sqrt(3.0)));
    for (const double at : {-9.0, -5.0, 0.0, 2.5, 9.0})
        CHECK(spread.probability_beyond(at) == doctest::Approx((10 - at) / 20).epsilon(1e-5));
    CHECK(spread.probability_beyond(10.5) < 1e-6);
    CHECK(spread.probability_beyond(-10.5) > 1 - 1e-6);
    CHECK(spread.probability_beyond(1000) == 0);
}

TEST_CASE("Two equal rectangles make a triangle") {
    const Spread spread(0, {4, 4});
    for (const double at : {0.0, 1.0, 4.0, 7.0})
        CHECK(spread.probability_beyond(at) ==
              doctest::Approx((8 - at) * (8 - at) / 128).epsilon(1e-4));
}

TEST_CASE("A rectangle and a normal error make the known integral of both") {
    // The mean of the normal tail over the rectangle, by Simpson's rule.
    const Spread spread(3, {10});
    for (const double at : {0.0, 5.0, 10.0, 15.0}) {
        double integral = 0;
        constexpr int steps = 2000;
        for (int i = 0; i <= steps; ++i) {
            const double error = -10 + 20.0 * i / steps;
            const double weight = i == 0 || i == steps ? 1 : i % 2 == 1 ? 4 : 2;
            integral += weight * normal_beyond((at - error) / 3);
        }
        CHECK(spread.probability_beyond(at) ==
              doctest::Approx(integral / (3 * steps)).epsilon(1e-6));
    }
}

TEST_CASE("Many small rectangles are as good as normal") {
    const Spread spread(0, std::vector<RectangularError>(60, 1));
    for (const double at : {0.0, 1.0, 2.0})
        CHECK(spread.probability_beyond(at * spread.standard_mv()) ==
              doctest::Approx(normal_beyond(at)).epsilon(0.01));
}

TEST_CASE("A rectangle of no width adds nothing") {
    CHECK(Spread(3, {0}).probability_beyond(3) == doctest::Approx(normal_beyond(1)).epsilon(1e-9));
}

TEST_CASE("A rectangle of uncertain width is the mean of those it may be") {
    // Simpson's rule over e from -0.1 to 0.1 of rectangles of half width 60 / (1 + e).
    const Spread spread(0.5, {{60, 0.1}});
    for (const double at : {0.0, 30.0, 55.0, 60.0, 64.0}) {
        double mean = 0;
        constexpr int steps = 200;
        for (int i = 0; i <= steps; ++i) {
            const double width = 60 / (1 - 0.1 + 0.2 * i / steps);
            const double weight = i == 0 || i == steps ? 1 : i % 2 == 1 ? 4 : 2;
            mean += weight * Spread(0.5, {width}).probability_beyond(at) / (3 * steps);
        }
        CHECK(spread.probability_beyond(at) == doctest::Approx(mean).epsilon(0.05));
        CHECK(std::abs(spread.probability_beyond(at) - mean) < 0.003);
    }
    CHECK(spread.standard_mv() > Spread(0.5, {60}).standard_mv());
}
