#include "series/running_state.h"

#include "records.h"

#include <doctest/doctest.h>

using namespace quaycell;
using namespace quaycell::testing;

namespace {

wire::LiveReading pair(std::int16_t zero, std::int16_t reference) {
    wire::LiveReading live{};
    live.zero = zero;
    live.reference = reference;
    return live;
}

const Conversion uncalibrated({1, circuit, {}});

} // namespace

TEST_CASE("without a pair the calibration's state counts") {
    wire::Calibration calibration{};
    calibration.flags = wire::calibration_valid;
    calibration.zero_code_x16 = 32;
    calibration.reference_code_x16 = 16384 * 16;
    RunningState state(Conversion({1, circuit, calibration}));
    state.take(pair(wire::missing_code, wire::missing_code));
    CHECK(state.now().zero == 2);
    CHECK(state.now().reference == 16384);
}

TEST_CASE("the first pair counts in full, the second by half") {
    RunningState state(uncalibrated);
    CHECK_FALSE(state.now().reference);
    state.take(pair(4, 16390));
    CHECK(state.now().zero == 4);
    CHECK(state.now().reference == 16386);
    state.take(pair(2, 16384));
    CHECK(state.now().zero == 3);
    CHECK(state.now().reference == 16384);
}

TEST_CASE("a half pair changes nothing") {
    RunningState state(uncalibrated);
    state.take(pair(4, 16390));
    state.take(pair(wire::missing_code, 16000));
    state.take(pair(0, wire::missing_code));
    CHECK(state.now().zero == 4);
    CHECK(state.now().reference == 16386);
}

TEST_CASE("a converter that warms up is followed within a minute") {
    RunningState state(uncalibrated);
    for (int i = 0; i < 100; ++i)
        state.take(pair(2, 16386));
    for (int i = 0; i < 60; ++i)
        state.take(pair(2, 16402));
    // By hand: (15 / 16)^60 = 2 % of the 16 codes are left.
    CHECK(*state.now().reference == doctest::Approx(16400 - 0.333).epsilon(1e-6));
}
