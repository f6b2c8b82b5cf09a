#include "bench/sea/front_end.h"

#include "bench/sea/source.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

using namespace quaycell::bench;
using namespace std::chrono_literals;

namespace {

Scenario berth(const std::string& more, const std::string& top = "") {
    return parse_scenario("start = 2026-05-04T06:00:00Z\n" + top +
                              "[temperature_c]\nbase = 15\n[salinity_psu]\nbase = 35\n" + more,
                          "berth.toml");
}

const std::string steady = "[potential_mv]\nbase = -900\n";

double cell_mv(const FrontEnd& front_end, Time at) {
    return 1e3 * front_end.cell_v(Cell::a, at, at + 125ms);
}

/// Half the distance between the ends of a burst's swing, [mV].
double swing_mv(FrontEnd& front_end, Time from) {
    double low = 1e9, high = -1e9;
    for (Time at = from; at < from + 200ms; at += 1ms) {
        const double mv = front_end.ac_output_mv(Cell::a, at);
        low = std::min(low, mv);
        high = std::max(high, mv);
    }
    return (high - low) / 2;
}

/// The stimulus for 200 ms, then as long again beside 200 samples.
double answer_mv(FrontEnd& front_end, Time from) {
    double low = 1e9, high = -1e9;
    for (int i = 0; i < 400; ++i) {
        const Time at = from + i * 1ms;
        if (i % 4 == 0) front_end.stimulate(Cell::a, i % 8 == 0, at);
        const double mv = front_end.ac_output_mv(Cell::a, at + 500us);
        if (i < 200) continue;
        low = std::min(low, mv);
        high = std::max(high, mv);
    }
    return (high - low) / 2;
}

} // namespace

TEST_CASE("after power-up the input settles to 0.1 mV in 2.6 s, as the simulated circuit does") {
    const Scenario scenario = berth("[potential_mv]\nbase = -1800\n");
    FrontEnd front_end{scenario};
    front_end.power_on(10s);
    CHECK(cell_mv(front_end, 10s) < 400);
    CHECK(std::abs(cell_mv(front_end, 12s) - 1800) > 0.1);
    CHECK(std::abs(cell_mv(front_end, 15s) - 1800) < 0.1);
}

TEST_CASE("a step is followed in tenths of a second") {
    const Scenario scenario = berth("[potential_mv]\nbase = -900\npart = [ { kind = \"step\", at = "
                                    "\"1h\", until = \"2h\", change = 100 } ]\n");
    const FrontEnd front_end{scenario};
    CHECK(cell_mv(front_end, 3599s) == doctest::Approx(900));
    CHECK(std::abs(cell_mv(front_end, 3600s + 150ms) - 850) < 20); // 63 % after 0.3 s
    CHECK(cell_mv(front_end, 3605s) == doctest::Approx(800));
}

TEST_CASE("2 V rms of AC leave at most 0.12 mV in a conversion, as the simulated circuit does") {
    const Scenario scenario = berth(steady + "[ac_mv]\nbase = 2000\n");
    const FrontEnd front_end{scenario};
    double worst_mv = 0;
    for (Time at = 10s; at < 11s; at += 1ms)
        worst_mv = std::max(worst_mv, std::abs(cell_mv(front_end, at) - 900));
    CHECK(worst_mv > 0.05);
    CHECK(worst_mv < 0.14);
}

TEST_CASE("an open lead holds its last value and drifts by 0.4 mV in 10 s, 2.4 mV in 60 s") {
    const Scenario scenario =
        berth(steady + "[[lead]]\nwhat = \"a-open\"\nat = \"100s\"\nuntil = \"1d\"\n");
    const FrontEnd front_end{scenario};
    CHECK(std::abs(cell_mv(front_end, 110s) - 900) < 0.5);
    CHECK(std::abs(cell_mv(front_end, 160s) - 900) == doctest::Approx(2.4).epsilon(0.1));
}

TEST_CASE("the stimulus answers by the source's resistance, as the simulated circuit does") {
    struct {
        double ohm, mv;
    } const rows[] = {{0, 5.5},      {10e3, 10.7}, {30e3, 20.1},
                      {100e3, 45.7}, {300e3, 86},  {1e6, 129.5}};
    for (const auto& row : rows) {
        CAPTURE(row.ohm);
        CHECK(stimulus_response_mv(row.ohm) == doctest::Approx(row.mv));
        const Scenario scenario =
            berth(steady + "[source_ohm]\nbase = " + std::to_string(row.ohm) + "\n");
        FrontEnd front_end{scenario};
        CHECK(std::abs(answer_mv(front_end, 10s) - row.mv) < 0.08 * row.mv + 1.5); // noise
        CHECK(swing_mv(front_end, 12s) < 2);                                       // and it ends
    }
    const Scenario open = berth(steady + "[[lead]]\nwhat = \"a-open\"\nat = \"0s\"\nuntil = "
                                         "\"1d\"\n",
                                "cable_nf = 3\n");
    FrontEnd front_end{open};
    CHECK(answer_mv(front_end, 10s) == doctest::Approx(143).epsilon(0.08));
}

TEST_CASE(
    "with the hull's clip off each of two wet cells finds the other, as in the drawn circuit") {
    struct {
        double each_ohm, cable_nf, mv;
    } const rows[] = {{0, 0, 83.4}, {10e3, 0, 86.1}, {30e3, 0, 91.1}, {0, 3, 71.4}};
    for (const auto& row : rows) {
        CAPTURE(row.each_ohm);
        CAPTURE(row.cable_nf);
        CHECK(clip_off_response_mv(2 * row.each_ohm, row.cable_nf) ==
              doctest::Approx(row.mv).epsilon(0.02));
    }
    const Scenario scenario = berth("[[lead]]\nwhat = \"clip-off\"\nat = \"0s\"\nuntil = \"1d\"\n"
                                    "[logger]\ncell_b_offset_mv = 1\n" +
                                    steady);
    FrontEnd front_end{scenario};
    CHECK(answer_mv(front_end, 10s) ==
          doctest::Approx(84.5).epsilon(0.08)); // 2 kohm each, and noise
}

TEST_CASE("a cell's stimulus is heard at that cell") {
    const Scenario scenario = berth("[logger]\ncell_b_offset_mv = 1\n" + steady);
    FrontEnd front_end{scenario};
    for (int i = 0; i < 100; ++i)
        front_end.stimulate(Cell::b, i % 2 == 0, 10s + i * 4ms);
    CHECK(swing_mv(front_end, 10s + 200ms) < 2);
}

TEST_CASE("the AC amplifier hears AC by 0.285 at 50 Hz, less behind a resistance") {
    const auto hears = [](const std::string& ohm, const std::string& hz) {
        const Scenario scenario =
            berth(steady + "[ac_mv]\nbase = 1000\n[source_ohm]\nbase = " + ohm + "\n",
                  "ac_hz = " + hz + "\n");
        FrontEnd front_end{scenario};
        return swing_mv(front_end, 10s) / 1414.2;
    };
    CHECK(hears("0", "50") == doctest::Approx(0.285).epsilon(0.01));
    CHECK(hears("0", "60") == doctest::Approx(0.289).epsilon(0.01));
    CHECK(hears("10000", "50") == doctest::Approx(0.285 * 0.972).epsilon(0.01));
    CHECK(hears("100000", "50") == doctest::Approx(0.285 * 0.76).epsilon(0.01));
}
