#include "bench/sea/front_end.h"

#include "bench/random.h"
#include "bench/sea/cell.h"
#include "bench/sea/source.h"
#include "board/circuit.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace quaycell::bench {

namespace {

using namespace std::chrono_literals;

constexpr double two_pi = 2 * std::numbers::pi;

double seconds(Time time) {
    return std::chrono::duration<double>(time).count();
}

// Input filter, 470 kohm and 220 nF twice without a buffer between: the poles of
// s^2 + 3 s / RC + 1 / RC^2.
constexpr double rc_s = 470e3 * 220e-9;
const double slow_s = rc_s * 2 / (3 - std::sqrt(5.0));
const double fast_s = rc_s * 2 / (3 + std::sqrt(5.0));

double step_response(double after_s) {
    return 1 - (slow_s * std::exp(-after_s / slow_s) - fast_s * std::exp(-after_s / fast_s)) /
                   (slow_s - fast_s);
}

/// The filter looks back: what the input was so long ago counts so much. What lies beyond the last
/// is less than the converter sees.
struct Memory {
    Time ago;
    double weight;
};

const std::vector<Memory>& memories() {
    static const std::vector<Memory> all = [] {
        constexpr std::array edges{0.,  0.04, 0.08, 0.12, 0.17, 0.23, 0.3, 0.4,
                                   0.5, 0.65, 0.8,  1.1,  1.5,  2.,   3.,  4.};
        std::vector<Memory> list;
        double before = 0;
        for (std::size_t i = 1; i < edges.size(); ++i) {
            const bool last = i + 1 == edges.size();
            const double after = last ? 1 : step_response(edges[i]);
            const double middle_s = (edges[i - 1] + edges[i]) / 2;
            list.push_back({Time{std::llround(middle_s * 1e9)}, after - before});
            before = after;
        }
        return list;
    }();
    return all;
}

// AC at the converter's input, behind the filter: simulated -60.8 dB at 50 Hz; two poles beyond
// their corner fall with the square of the frequency.
constexpr double filter_50_hz = 0.000912;

// The AC amplifiers: gain 0.285 at 50 Hz (simulated), high pass of 4.7 nF and 2.2 Mohm. Their noise
// is what is lacking, beside the steps of the converter, to the simulated floor of 3.6 mV at the
// cell. Beyond 2.4 V rms at the cell they clip (simulated), which is the converter's end at 0.
constexpr double amplifier_gain_50_hz = 0.285;
constexpr double amplifier_corner_hz = 15.4;
constexpr double amplifier_noise_mv = 0.44;

double amplifier_gain(double hz) {
    const auto high_pass = [](double f) { return 1 / std::hypot(1, amplifier_corner_hz / f); };
    return amplifier_gain_50_hz * high_pass(hz) / high_pass(50);
}

// The stimulus: 125 Hz within what its coupling passes alike; it builds up and dies away within the
// 200 ms that the firmware gives it (our judgement). Its disturbance of the DC is 2.0 mV at worst
// and below 0.1 mV after a second (simulated).
constexpr Time nominal_period = 8ms;
constexpr double period_tolerance = 0.02;
constexpr Time edges_end = 6ms; ///< without an edge it is over
constexpr double response_build_up_s = 0.03;
constexpr double disturbance_decay_s = 0.33;

// An open input drifts by the amplifier's bias: 0.4 mV in 10 s, 2.4 mV in 60 s (simulated).
constexpr double open_drift_mv_s = 0.04;

constexpr double reference_temperature_c = 25;

} // namespace

void FrontEnd::stimulate(Cell cell, bool high, Time now) {
    Edges& edges = edges_[static_cast<unsigned>(cell)];
    const bool idle = edges.last == Time::min() || now - edges.last > edges_end;
    if (high) {
        if (idle) edges.first_rise = now;
        edges.period = idle ? Time{0} : now - edges.last_rise;
        edges.last_rise = now;
    }
    edges.last = now;
}

double FrontEnd::board_c(Time when) const {
    return calibrator_.board_c(when).value_or(scenario_.board_temperature_c.at(when));
}

double FrontEnd::com_v(Time when) const {
    const LoggerSetup& logger = scenario_.logger;
    const double warmer_k = board_c(when) - reference_temperature_c;
    const double error_ppm = logger.reference_error_ppm + logger.reference_drift_ppm_k * warmer_k;
    return board::reference_uv * 1e-6 * (1 + error_ppm * 1e-6);
}

bool FrontEnd::fitted(Cell cell, Time when) const {
    return cell == Cell::a || calibrator_.at(cell, when) != nullptr ||
           scenario_.logger.cell_b_offset_mv.has_value();
}

const LeadFault* FrontEnd::fault_of(Cell cell, Time when) const {
    if (calibrator_.at(cell, when) != nullptr) return nullptr;
    const LeadFault::What own = cell == Cell::a ? LeadFault::What::a_open : LeadFault::What::b_open;
    for (const LeadFault& fault : scenario_.lead_faults)
        if ((fault.what == own || fault.what == LeadFault::What::clip_off) && when >= fault.at &&
            when < fault.until)
            return &fault;
    return nullptr;
}

double FrontEnd::source_ohm(Cell cell, Time when) const {
    if (const JoinedSource* const joined = calibrator_.at(cell, when)) return joined->ohm;
    return std::max(0., (cell == Cell::a ? scenario_.source_ohm : scenario_.source_b_ohm).at(when));
}

double FrontEnd::ac_rms_mv(Cell cell, Time when) const {
    const JoinedSource* const joined = calibrator_.at(cell, when);
    if (joined == nullptr) return fault_of(cell, when) == nullptr ? scenario_.ac_mv.at(when) : 0;
    return joined->open ? 0 : joined->ac_mv;
}

double FrontEnd::ac_hz(Cell cell, Time when) const {
    const JoinedSource* const joined = calibrator_.at(cell, when);
    return joined == nullptr ? scenario_.ac_hz : joined->ac_hz;
}

double FrontEnd::connected_mv(Cell cell, Time when) const {
    if (const JoinedSource* const joined = calibrator_.at(cell, when)) return -joined->mv;
    if (!fitted(cell, when)) return 0; // before something was joined to it
    const double mv = reading_mv(scenario_.potential_mv.at(when), scenario_.salinity_psu.at(when),
                                 scenario_.temperature_c.at(when));
    return -(mv + (cell == Cell::b ? *scenario_.logger.cell_b_offset_mv : 0));
}

double FrontEnd::electrode_mv(Cell cell, Time when) const {
    const LeadFault* const fault = fault_of(cell, when);
    if (fault == nullptr) return connected_mv(cell, when);
    const double held_mv = fault->at > powered_ ? connected_mv(cell, fault->at) : 0;
    return held_mv + open_drift_mv_s * seconds(when - std::max(fault->at, powered_));
}

double FrontEnd::ac_residue_mv(Cell cell, Time from, Time to) const {
    const double rms_mv = ac_rms_mv(cell, from);
    if (rms_mv == 0) return 0;
    const double hz = ac_hz(cell, from);
    const double peak_mv = rms_mv * std::numbers::sqrt2 * filter_50_hz * (50 / hz) * (50 / hz);
    // The mean of a wave over the conversion.
    const double from_phase = two_pi * hz * seconds(from);
    const double to_phase = two_pi * hz * seconds(to);
    return peak_mv * (std::cos(from_phase) - std::cos(to_phase)) / (to_phase - from_phase);
}

double FrontEnd::disturbance_mv(Cell cell, Time when) const {
    const Time last_edge = edges(cell).last;
    if (last_edge == Time::min()) return 0;
    const double after_s = std::max(0., seconds(when - last_edge));
    return stimulus_disturbance_mv(source_ohm(cell, when)) *
           std::exp(-after_s / disturbance_decay_s);
}

double FrontEnd::cell_v(Cell cell, Time from, Time to) const {
    const double com = com_v(from);
    const double supply_v = board::supply_mv * 1e-3;
    // Without a cell the amplifier's bias current takes its input to the rail.
    if (!fitted(cell, from)) return supply_v - com;
    const Time middle = from + (to - from) / 2;
    double mv = 0;
    for (const Memory& memory : memories())
        if (middle - memory.ago >= powered_)
            mv += memory.weight * electrode_mv(cell, middle - memory.ago);
    mv += ac_residue_mv(cell, from, to) + disturbance_mv(cell, middle);
    return std::clamp(mv * 1e-3, -com, supply_v - com);
}

double FrontEnd::response_mv(Cell cell, Time when) const {
    const JoinedSource* const joined = calibrator_.at(cell, when);
    if (!fitted(cell, when) || (joined != nullptr && joined->open)) return open_response_mv(0);
    const LeadFault* const fault = fault_of(cell, when);
    if (fault == nullptr) return stimulus_response_mv(source_ohm(cell, when));
    const Cell other = cell == Cell::a ? Cell::b : Cell::a;
    const LeadFault* const others = fitted(other, when) ? fault_of(other, when) : nullptr;
    const bool both_wet = fault->what == LeadFault::What::clip_off && others == fault;
    if (!both_wet) return open_response_mv(scenario_.cable_nf);
    return clip_off_response_mv(source_ohm(Cell::a, when) + source_ohm(Cell::b, when),
                                scenario_.cable_nf);
}

const FrontEnd::Level& FrontEnd::level(Cell cell, Time when) {
    Level& level = levels_[static_cast<unsigned>(cell)];
    const std::int64_t tenth_s = when / 100ms;
    if (level.tenth_s == tenth_s) return level;
    const double hz = ac_hz(cell, when);
    const double cell_peak_mv =
        fitted(cell, when) ? ac_rms_mv(cell, when) * std::numbers::sqrt2 : 0;
    level = {tenth_s, cell_peak_mv * ac_kept(source_ohm(cell, when)) * amplifier_gain(hz), hz,
             response_mv(cell, when)};
    return level;
}

double FrontEnd::ac_output_mv(Cell cell, Time when) {
    const Level& now = level(cell, when);
    const double rest_mv = board::reference_uv * 1e-3;
    double mv = rest_mv + amplifier_noise_mv * random_gaussian(scenario_.seed, samples_++);
    if (now.ac_peak_mv != 0) mv -= now.ac_peak_mv * std::sin(two_pi * now.ac_hz * seconds(when));
    const Edges& own = edges(cell);
    const double off = std::abs(seconds(own.period) / seconds(nominal_period) - 1);
    if (own.last == Time::min() || when - own.last > edges_end || off > period_tolerance) return mv;
    const double built_up = 1 - std::exp(-seconds(when - own.first_rise) / response_build_up_s);
    return mv + now.response_mv * built_up *
                    std::sin(two_pi * seconds(when - own.last_rise) / seconds(nominal_period));
}

} // namespace quaycell::bench
