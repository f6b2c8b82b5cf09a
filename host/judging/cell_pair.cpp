#include "judging/cell_pair.h"

#include "series/lead.h"
#include "series/running_state.h"

#include <algorithm>
#include <cmath>
#include <vector>

namespace quaycell {

namespace {

constexpr std::size_t readings_wanted = 5; // an odd number: one of them is the median

/// The front end settles within 5 s of power-up, the look at both leads takes another 5 s; more
/// means that it never will.
constexpr int readings_to_wait = 20;

constexpr std::uint16_t useless = wire::flag_unsettled | wire::flag_converter_fault |
                                  wire::flag_saturated_a | wire::flag_saturated_b;

Error no_pair(std::string what) {
    return {
        ErrorCode::refused, std::move(what), "cells A and B",
        "Hang both cells in the same water, the logger's clip on any metal in it, and try again; "
        "or measure between the cells with a meter and give --between-cells"};
}

bool answers(LeadState state) {
    return state == LeadState::good || state == LeadState::drying;
}

} // namespace

Result<double> voltage_between_cells_mv(Logger& logger) {
    const auto circuit = logger.circuit();
    if (!circuit) return circuit.error();
    const auto calibration = logger.calibration();
    if (!calibration) return calibration.error();
    const Conversion conversion({logger.hello().device_id, *circuit, *calibration});
    const bool b_compared = *calibration && ((*calibration)->flags & wire::calibration_cell_b) != 0;
    RunningState converter(conversion);
    std::vector<double> between_mv;
    LeadState a = LeadState::unknown;
    LeadState b = LeadState::unknown;
    int seen = 0;
    const auto enough = [&](const wire::LiveReading& live) {
        const wire::Reading& reading = live.reading;
        converter.take(live);
        if (reading.source_a != wire::missing_byte) a = lead_state(reading.source_a, *circuit);
        if (reading.source_b != wire::missing_byte) b = lead_state(reading.source_b, *circuit);
        // Both potentials are of the same metal: the one against B less the one against A.
        const double apart_mv = conversion.cell_b_mv(reading, converter.now()) -
                                conversion.cell_a_mv(reading, converter.now());
        if (answers(a) && answers(b) && (reading.flags & useless) == 0 && std::isfinite(apart_mv))
            between_mv.push_back(apart_mv);
        const bool waits = between_mv.size() < readings_wanted && ++seen < readings_to_wait;
        return waits ? AfterReading::go_on : AfterReading::end;
    };
    if (const auto watched = logger.live(enough); !watched) return watched.error();
    if (a == LeadState::unknown) return no_pair("the logger did not look at its cells");
    if (!answers(a)) return no_pair("cell A does not answer, or the clip is on no metal");
    if (!answers(b)) return no_pair("nothing answers as cell B");
    if (!b_compared)
        return no_pair("the logger is not calibrated at both cells: its two inputs may differ");
    if (between_mv.size() < readings_wanted) return no_pair("the readings do not settle");
    std::ranges::sort(between_mv);
    return between_mv[readings_wanted / 2];
}

} // namespace quaycell
