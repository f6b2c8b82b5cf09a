#include "bench/sea/signal.h"

#include <doctest/doctest.h>

#include <cmath>

using namespace quaycell::bench;
using namespace std::chrono_literals;

TEST_CASE("without parts a quantity stands still") {
    const Signal signal{-870, {}};
    CHECK(signal.at(0s) == -870);
    CHECK(signal.at(365 * 24h) == -870);
}

TEST_CASE("a ramp rises between its ends and stays") {
    const Signal signal{10, {Ramp{1h, 3h, 4}}};
    CHECK(signal.at(30min) == 10);
    CHECK(signal.at(90min) == doctest::Approx(11));
    CHECK(signal.at(2h) == doctest::Approx(12));
    CHECK(signal.at(9h) == doctest::Approx(14));
}

TEST_CASE("the tide comes back after 12.42 h") {
    const Signal signal{27, {Tide{4, 2h}}};
    CHECK(signal.at(2h) == doctest::Approx(31));
    CHECK(signal.at(2h + 6h + 756s) == doctest::Approx(23)); // 6.21 h later
    CHECK(signal.at(2h + 12h + 1512s) == doctest::Approx(31));
    CHECK(signal.at(2h + 3h + 378s) == doctest::Approx(27));
}

TEST_CASE("the day comes back after 24 h") {
    const Signal signal{13, {Day{1.5, 15h}}};
    CHECK(signal.at(15h) == doctest::Approx(14.5));
    CHECK(signal.at(3h) == doctest::Approx(11.5));
    CHECK(signal.at(39h) == doctest::Approx(14.5));
}

TEST_CASE("a step holds from its beginning to just before its end") {
    const Signal signal{-900, {Step{8h, 20h, 120}}};
    CHECK(signal.at(8h - 1ns) == -900);
    CHECK(signal.at(8h) == -780);
    CHECK(signal.at(20h - 1ns) == -780);
    CHECK(signal.at(20h) == -900);
}

TEST_CASE("noise has its deviation, holds for a second and repeats with its seed") {
    const Signal signal{0, {Noise{2, 7}}}, twin{0, {Noise{2, 7}}}, other{0, {Noise{2, 8}}};
    double sum = 0, squares = 0;
    int same = 0;
    constexpr int count = 4000;
    for (int i = 0; i < count; ++i) {
        const Time when = Time{1s} * i;
        const double value = signal.at(when);
        CHECK(signal.at(when + 999ms) == value);
        CHECK(twin.at(when) == value);
        same += other.at(when) == value ? 1 : 0;
        sum += value;
        squares += value * value;
    }
    CHECK(same == 0);
    CHECK(std::abs(sum / count) < 0.13); // four times its own scatter
    CHECK(std::sqrt(squares / count) == doctest::Approx(2).epsilon(0.05));
}

TEST_CASE("the limits hold all parts at once") {
    const Signal signal{10, {Ramp{0s, 1h, -3}, Tide{2, 0s}, Step{0s, 1h, 5}, Noise{0.1, 1}}};
    CHECK(signal.limits().low == doctest::Approx(4.5));
    CHECK(signal.limits().high == doctest::Approx(17.5));
}
