#include "bench/sea/source.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <span>

namespace quaycell::bench {

namespace {

struct Point {
    double ohm, value;
};

// Simulated with ngspice on the drawn front end (hardware-notes/simulated.csv). The first is exact
// at its points only.
constexpr std::array<Point, 7> response{{{0, 5.5},
                                         {10e3, 10.7},
                                         {30e3, 20.1},
                                         {100e3, 45.7},
                                         {300e3, 86},
                                         {1e6, 129.5},
                                         {100e6, 166.7}}};
constexpr Point kept_10k{10e3, 0.972}, kept_100k{100e3, 0.76};
constexpr std::array<Point, 3> disturbance{{{0, 0}, {10e3, 0.4}, {100e3, 2.0}}};
constexpr double open_mv = 166.7, open_with_3_nf_mv = 142.8, longest_cable_nf = 3;

// The hull's lead, in series with every source: it keeps the logarithm finite.
constexpr double hull_lead_ohm = 10e3;

// What a cell's input is to another's stimulus: the way back where the hull's lead is none.
constexpr double other_input_ohm = 291e3;

/// Straight lines over the logarithm of the resistance in the loop.
double at(std::span<const Point> table, double ohm) {
    const double held = std::clamp(ohm, table.front().ohm, table.back().ohm);
    const auto after = std::ranges::find_if(table.subspan(1),
                                            [&](const Point& point) { return held <= point.ohm; });
    const Point& high = *after;
    const Point& low = *(after - 1);
    const auto place = [](double source_ohm) { return std::log(source_ohm + hull_lead_ohm); };
    const double share = (place(held) - place(low.ohm)) / (place(high.ohm) - place(low.ohm));
    return low.value + share * (high.value - low.value);
}

} // namespace

double stimulus_response_mv(double source_ohm) {
    return at(response, source_ohm);
}

double open_response_mv(double cable_nf) {
    return open_mv +
           (open_with_3_nf_mv - open_mv) * std::clamp(cable_nf / longest_cable_nf, 0., 1.);
}

double clip_off_response_mv(double both_ohm, double cable_nf) {
    return stimulus_response_mv(both_ohm + other_input_ohm - hull_lead_ohm) *
           open_response_mv(cable_nf) / open_mv;
}

double ac_kept(double source_ohm) {
    // A divider: the inverse of what is kept rises with the resistance, evenly between the points.
    const Point low = source_ohm <= kept_10k.ohm ? Point{0, 1} : kept_10k;
    const Point high = source_ohm <= kept_10k.ohm ? kept_10k : kept_100k;
    const double share = (source_ohm - low.ohm) / (high.ohm - low.ohm);
    return 1 / (1 / low.value + share * (1 / high.value - 1 / low.value));
}

double stimulus_disturbance_mv(double source_ohm) {
    return at(disturbance, source_ohm);
}

} // namespace quaycell::bench
