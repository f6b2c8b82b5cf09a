#include "cli/lead_check.h"

#include "diagnosis/next_to_nothing.h"
#include "protection/judge.h"
#include "series/running_state.h"

#include <cmath>
#include <fmt/format.h>

namespace quaycell {

namespace {

/// The front end settles within 5 s of power-up, the look at both leads takes another 5 s; more
/// means that it never will.
constexpr int readings_to_wait = 15;

constexpr const char* go_on_anyway =
    "Look at the clip on the bonding, the plug and the cell in the water; or say "
    "--without-lead-check.";

Error bad_lead(std::string what) {
    return {ErrorCode::refused, std::move(what), "cell and leads", go_on_anyway};
}

Result<double> judged(const wire::Reading& reading, double potential_mv) {
    if ((reading.flags & wire::flag_converter_fault) != 0 || std::isnan(potential_mv))
        return bad_lead("the logger's converter does not answer: no potential is measured");
    if ((reading.flags & wire::flag_saturated_a) != 0)
        return bad_lead("the potential is beyond what the logger can measure");
    if ((reading.flags & wire::flag_unsettled) != 0) return bad_lead("the reading does not settle");
    if (std::abs(potential_mv) < next_to_nothing_mv)
        return bad_lead(fmt::format("the reading is {:.1f} mV, as when the cell is out of the "
                                    "water or touches the hull's lead",
                                    potential_mv));
    if (potential_mv > possible_mv.high)
        return bad_lead(fmt::format("the reading is {:+.0f} mV, more than any metal of a boat "
                                    "shows: the two leads may be swapped",
                                    potential_mv));
    return potential_mv;
}

} // namespace

Result<LeadCheck> check_lead(Logger& logger) {
    const auto circuit = logger.circuit();
    if (!circuit) return circuit.error();
    const auto calibration = logger.calibration();
    if (!calibration) return calibration.error();
    const Conversion conversion({logger.hello().device_id, *circuit, *calibration});
    RunningState converter(conversion);
    wire::Reading last{};
    std::uint8_t a = wire::missing_byte;
    std::uint8_t b = wire::missing_byte;
    int seen = 0;
    const auto settled = [&](const wire::LiveReading& live) {
        last = live.reading;
        converter.take(live);
        if (last.source_a != wire::missing_byte) a = last.source_a;
        if (last.source_b != wire::missing_byte) b = last.source_b;
        const bool looked = a != wire::missing_byte && b != wire::missing_byte;
        const bool waits = !looked || (last.flags & wire::flag_unsettled) != 0;
        return waits && ++seen < readings_to_wait ? AfterReading::go_on : AfterReading::end;
    };
    if (const auto watched = logger.live(settled); !watched) return watched.error();
    const LeadState state = lead_state(a, *circuit);
    if (state == LeadState::unknown) return bad_lead("the logger did not look at cell and leads");
    std::string words = lead_words(a, b, *circuit);
    if (state == LeadState::not_good) return bad_lead(std::move(words));
    const auto potential_mv = judged(last, conversion.cell_a_mv(last, converter.now()));
    if (!potential_mv) return potential_mv.error();
    return LeadCheck{*potential_mv, state, source_ohm(a, *circuit), std::move(words)};
}

} // namespace quaycell
