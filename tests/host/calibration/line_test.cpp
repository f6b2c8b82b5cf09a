#include "calibration/line.h"

#include <doctest/doctest.h>

using namespace quaycell;

TEST_CASE("two points give gain and offset") {
    // By hand: true = 1.001 * shown + 0.2.
    const Line line = line_through({-1500, -1501.3}, {300, 300.5});
    CHECK(line.gain == doctest::Approx(1.001).epsilon(1e-9));
    CHECK(line.offset_mv == doctest::Approx(0.2).epsilon(1e-9));
}

TEST_CASE("a third point, warmer, gives the drift of the gain") {
    // By hand: the gain that gives -1101.12 mV of -1100 is 1.0012, 0.0002 more in 20 K.
    CHECK(gain_drift_per_k({1.001, 0.2}, {-1100, -1101.12}, 20) == doctest::Approx(10e-6));
    CHECK(gain_drift_per_k({1.001, 0.2}, {-1100, -1101.12}, -20) == doctest::Approx(-10e-6));
}
