#include "judging/live_judge.h"

#include "protection/standard_potential.h"

#include <cmath>

namespace quaycell {

Result<LiveJudge> LiveJudge::prepare(const BoatOptions& options, const LoggerFacts& facts,
                                     const wire::LiveReading& first) {
    TraceFacts measured;
    const double temperature_c = Conversion(facts).temperature_c(first.reading);
    if (!std::isnan(temperature_c)) measured.temperature_c = temperature_c;
    if (const auto calibration = calibration_of(facts)) measured.meter = calibration->meter;
    auto boat = boat_from(options, measured);
    if (!boat) return boat.error();
    auto rules = rules_of(*boat);
    if (!rules) return rules.error();
    return LiveJudge(std::move(boat).value(), std::move(rules).value(), facts,
                     options.water.temperature_c.has_value());
}

LiveLine LiveJudge::line(const wire::LiveReading& live, Instant now) {
    const wire::Reading& reading = live.reading;
    converter_.take(live);
    LiveLine line{now,
                  conversion_.cell_a_mv(reading, converter_.now()),
                  conversion_.temperature_c(reading),
                  conversion_.battery_mv(reading),
                  conversion_.quality(reading),
                  missing_value,
                  missing_value,
                  {},
                  live.recorded != 0};
    line.ac_mv = conversion_.ac_mv(reading, source_ohm(look_.a, circuit_));
    if (reading.source_a != wire::missing_byte) look_.a = reading.source_a;
    if (reading.source_b != wire::missing_byte) look_.b = reading.source_b;
    line.lead = lead_state(look_.a, circuit_);
    line.source_ohm = source_ohm(look_.a, circuit_);
    line.lead_words = lead_words(look_.a, look_.b, circuit_);
    // Where nothing answers as cell B there is none.
    const LeadState b = lead_state(look_.b, circuit_);
    if (b == LeadState::good || b == LeadState::drying)
        line.cell_b_mv = conversion_.cell_b_mv(reading, converter_.now());
    else
        line.quality = without(line.quality, Quality::cell_b_saturated | Quality::cell_b_not_good);
    const double potential_mv = line.potential_mv;
    return at_potential(std::move(line), potential_mv);
}

LiveLine LiveJudge::at_potential(LiveLine line, double potential_mv) const {
    line.potential_mv = potential_mv;
    line.judgement = {};
    Water water = boat_.water;
    if (!temperature_given_ && !std::isnan(line.temperature_c))
        water.temperature_c = line.temperature_c;
    const auto offset = standard_offset(boat_.cell_scale, water);
    const auto budget =
        reading_budget(boat_.cell_scale, water, cell_check_of(boat_, line.time, line.time),
                       boat_.budget_terms, boat_.meter);
    if (!offset || !budget) return line;
    const ByConstants standard_mv = line.potential_mv + offset->offset_mv;
    line.standard_mv = standard_mv.less_negative_mv();
    line.expanded_uncertainty_mv = budget->expanded_mv();
    const bool usable =
        !has(line.quality, Quality::saturated | Quality::converter_fault | Quality::unsettled |
                               Quality::uncalibrated | Quality::lead_not_good);
    if (usable) line.judgement = judge(rules_, standard_mv, budget->spread());
    return line;
}

} // namespace quaycell
