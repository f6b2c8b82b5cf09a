#include "bench/sea/front_end.h"

#include "bench/sea/source.h"

#include <doctest/doctest.h>

#include <algorithm>

using namespace quaycell::bench;
using namespace std::chrono_literals;

namespace {

Scenario berth() {
    return parse_scenario("start = 2026-05-04T06:00:00Z\n[temperature_c]\nbase = 15\n"
                          "[salinity_psu]\nbase = 35\n[potential_mv]\nbase = -900\n"
                          "[board_temperature_c]\nbase = 20\n[logger]\nreference_drift_ppm_k = 10",
                          "berth.toml");
}

double cell_mv(const FrontEnd& front_end, Cell cell, Time at) {
    return 1e3 * front_end.cell_v(cell, at, at + 125ms);
}

} // namespace

TEST_CASE("a joined source takes the place of the sea, through the input filter") {
    const Scenario scenario = berth();
    FrontEnd front_end{scenario};
    front_end.calibrator().join(Cell::a, 100s, JoinedSource{-1500, 0});
    CHECK(cell_mv(front_end, Cell::a, 99s) == doctest::Approx(900).epsilon(1e-6));
    // On its way a tenth of a second later, there after five.
    CHECK(cell_mv(front_end, Cell::a, 100s + 100ms) < 1200);
    CHECK(cell_mv(front_end, Cell::a, 105s) == doctest::Approx(1500).epsilon(1e-6));
    front_end.calibrator().join(Cell::a, 200s, std::nullopt);
    CHECK(cell_mv(front_end, Cell::a, 205s) == doctest::Approx(900).epsilon(1e-6));
}

TEST_CASE("a source at cell B is there although the scenario has none") {
    const Scenario scenario = berth();
    FrontEnd front_end{scenario};
    CHECK(cell_mv(front_end, Cell::b, 99s) > 2000); // full scale
    front_end.calibrator().join(Cell::b, 100s, JoinedSource{300, 0});
    CHECK(cell_mv(front_end, Cell::b, 110s) == doctest::Approx(-300).epsilon(1e-6));
}

TEST_CASE("AC reaches the amplifier of the cell it is joined to") {
    const Scenario scenario = berth();
    FrontEnd front_end{scenario};
    front_end.calibrator().join(Cell::a, 0s, JoinedSource{-1100, 0, 1000, 60});
    const auto swing_mv = [&](Cell cell) {
        double low = 1e9, high = -1e9;
        for (Time at = 10s; at < 10s + 200ms; at += 1ms) {
            const double mv = front_end.ac_output_mv(cell, at);
            low = std::min(low, mv);
            high = std::max(high, mv);
        }
        return (high - low) / 2;
    };
    // 1 V rms times the gain at 60 Hz, 0.289 (computed from its corner), times the root of two.
    CHECK(swing_mv(Cell::a) == doctest::Approx(409).epsilon(0.02));
    CHECK(swing_mv(Cell::b) < 5);
}

TEST_CASE("the board's temperature moves the reference") {
    const Scenario scenario = berth();
    FrontEnd front_end{scenario};
    front_end.calibrator().hold_board_at(10s, 45);
    CHECK(front_end.board_c(9s) == 20);
    CHECK(front_end.board_c(10s) == 45);
    CHECK(front_end.com_v(10s) == doctest::Approx(1.024 * (1 + 200e-6)).epsilon(1e-9));
}
