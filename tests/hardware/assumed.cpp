// What firmware, simulated board and host take the circuit for, one figure a line as
// name,value,where, for the check of the drawn circuit. With --source-code it reads the samples of
// a burst instead and prints what the firmware makes of them.
#include "bench/sea/front_end.h"
#include "bench/sea/source.h"
#include "board/circuit.h"
#include "calibration/limits.h"
#include "logger/burst.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <fmt/format.h>
#include <iostream>
#include <numbers>
#include <string_view>

using namespace quaycell;
using namespace std::chrono_literals;

namespace {

constexpr double ohms[] = {0, 10e3, 30e3, 100e3, 300e3, 1e6};

void say(std::string_view name, double value, std::string_view where) {
    fmt::print("{},{:.8g},{}\n", name, value, where);
}

bench::Scenario berth(const std::string& more, const std::string& top = "") {
    return bench::parse_scenario("start = 2026-05-04T06:00:00Z\n" + top +
                                     "[potential_mv]\nbase = -1800\n[temperature_c]\nbase = 15\n"
                                     "[salinity_psu]\nbase = 35\n" +
                                     more,
                                 "berth.toml");
}

/// Half the distance between the lowest and the highest of two seconds.
template <typename Value>
double amplitude(Value value) {
    double low = 1e9, high = -1e9;
    for (bench::Time at = 100s; at < 102s; at += 500us) {
        low = std::min(low, value(at));
        high = std::max(high, value(at));
    }
    return (high - low) / 2;
}

void tell_firmware() {
    constexpr std::string_view circuit = "firmware/board/circuit.h";
    say("com_mv", board::reference_uv * 1e-3, circuit);
    say("settling_s", board::settling_s, circuit);
    say("rest_s", board::rest_ticks - 1, circuit);
    say("ac_gain", board::ac_gain_ppt * 1e-3, circuit);
    say("hull_lead_ohm", board::hull_lead_ohm, circuit);
    say("stimulus_open_mv", board::stimulus_open_mv, circuit);
    say("stimulus_drying_mv", board::stimulus_drying_mv, circuit);
    say("stimulus_not_good_mv", board::stimulus_not_good_mv, circuit);
    say("stimulus_half_ohm", board::stimulus_half_ohm, circuit);
    say("source_uv_per_code", board::source_uv_per_code, circuit);
    say("sample_s", double{board::sample_counts} / board::sample_counter_hz, circuit);
    say("cpu_hz", board::cpu_hz, circuit);
    say("thermistor_pullup_ohm", board::thermistor_pullup_ohm, circuit);
    say("battery_divider", board::battery_divider, circuit);
    say("supply_mv", board::supply_mv, circuit);
    say("ac_clips_below", logger::ac_clips_below, "firmware/logger/burst.h");
    for (const double ohm : ohms) {
        const double loop = ohm + board::hull_lead_ohm;
        say(fmt::format("firmware_stimulus_{:.0f}", ohm),
            board::stimulus_open_mv * loop / (loop + board::stimulus_half_ohm), circuit);
    }
    for (const double ohm : {10e3, 100e3})
        say(fmt::format("firmware_ac_kept_{:.0f}", ohm), 1 / (1 + ohm / board::ac_load_ohm),
            circuit);
}

void tell_bench() {
    constexpr std::string_view source = "firmware/bench/sea/source.cpp";
    constexpr std::string_view front_end = "firmware/bench/sea/front_end.cpp";
    for (const double ohm : ohms)
        say(fmt::format("bench_stimulus_{:.0f}", ohm), bench::stimulus_response_mv(ohm), source);
    say("bench_open_mv", bench::open_response_mv(0), source);
    say("bench_open_3_nf_mv", bench::open_response_mv(3), source);
    for (const double ohm : {0., 10e3, 30e3})
        say(fmt::format("bench_clip_off_{:.0f}", ohm), bench::clip_off_response_mv(2 * ohm, 0),
            source);
    say("bench_clip_off_3_nf", bench::clip_off_response_mv(0, 3), source);
    for (const double ohm : {10e3, 100e3}) {
        say(fmt::format("bench_ac_kept_{:.0f}", ohm), bench::ac_kept(ohm), source);
        say(fmt::format("bench_disturbance_{:.0f}", ohm), bench::stimulus_disturbance_mv(ohm),
            source);
    }
    for (const int hz : {50, 60}) {
        const bench::Scenario scenario = berth("[ac_mv]\nbase = 1000\n[source_ohm]\nbase = 0\n",
                                               fmt::format("ac_hz = {}\n", hz));
        bench::FrontEnd played{scenario};
        const double peak_mv = 1000 * std::numbers::sqrt2;
        say(fmt::format("bench_ac_gain_{}", hz), amplitude([&](bench::Time at) {
                                                     return played.ac_output_mv(bench::Cell::a, at);
                                                 }) / peak_mv,
            front_end);
        // Of so short a conversion that it does not average.
        const double left = amplitude(
            [&](bench::Time at) { return 1e3 * played.cell_v(bench::Cell::a, at, at + 10us); });
        say(fmt::format("bench_filter_db_{}", hz), 20 * std::log10(left / peak_mv), front_end);
    }
    const bench::Scenario open =
        berth("[[lead]]\nwhat = \"a-open\"\nat = \"10s\"\nuntil = \"1d\"\n");
    const auto drifted = [held = bench::FrontEnd{open}](bench::Time at) {
        return 1e3 * held.cell_v(bench::Cell::a, at, at + 10us);
    };
    say("bench_open_drift_60_s", std::abs(drifted(80s) - drifted(20s)), front_end);

    const bench::Scenario scenario = berth("");
    bench::FrontEnd played{scenario};
    played.power_on(10s);
    const double settled = played.cell_v(bench::Cell::a, 60s, 60s + 10us);
    bench::Time at = 10s;
    while (std::abs(played.cell_v(bench::Cell::a, at, at + 10us) - settled) > 1e-4)
        at += 10ms;
    say("bench_settling_s", std::chrono::duration<double>(at - 10s).count(), front_end);
}

void tell_host() {
    constexpr std::string_view limits = "host/calibration/limits.cpp";
    const auto middle = [](Limit limit) {
        return (facts_of(limit).low + facts_of(limit).high) / 2;
    };
    say("host_stimulus_0", middle(Limit::stimulus_short), limits);
    say("host_stimulus_10000", middle(Limit::stimulus_10_kohm), limits);
    say("host_stimulus_100000", middle(Limit::stimulus_100_kohm), limits);
    say("host_stimulus_open_low", facts_of(Limit::stimulus_open).low, limits);
    say("host_behind_100_kohm_mv", facts_of(Limit::behind_100_kohm).high, limits);
    say("host_behind_10_mohm_mv", facts_of(Limit::behind_10_mohm).high, limits);
}

int source_code_of_samples() {
    logger::Burst burst{};
    unsigned sample = 0;
    for (unsigned i = 0; i < logger::samples_in_burst; ++i) {
        if (!(std::cin >> sample) || sample > 1023) {
            std::fputs("200 samples of 0 to 1023 are needed on the standard input\n", stderr);
            return 2;
        }
        std::uint16_t& sum = burst.by_phase[i % logger::samples_in_cycle];
        sum = static_cast<std::uint16_t>(sum + sample);
        burst.squares += sample * sample;
    }
    fmt::print("{}\n", logger::source_code(burst));
    return 0;
}

} // namespace

int main(int argc, char** argv) {
    if (argc == 2 && std::string_view{argv[1]} == "--source-code") return source_code_of_samples();
    tell_firmware();
    tell_bench();
    tell_host();
}
