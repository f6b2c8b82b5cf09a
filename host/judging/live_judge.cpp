#include "judging/live_judge.h"

#include "diagnosis/next_to_nothing.h"
#include "protection/standard_potential.h"

#include <cmath>

namespace quaycell {

Result<LiveJudge> LiveJudge::prepare(const BoatOptions& options, const LoggerFacts& facts,
                                     const wire::LiveReading& first, Scale display) {
    TraceFacts measured;
    const double temperature_c = Conversion(facts).temperature_c(first.reading);
    if (!std::isnan(temperature_c)) measured.temperature_c = temperature_c;
    if (const auto calibration = calibration_of(facts)) measured.meter = calibration->meter;
    auto boat = boat_from(options, measured);
    if (!boat) return boat.error();
    auto rules = rules_of(*boat);
    if (!rules) return rules.error();
    if (const auto shown = convert_mv(0, boat->cell_scale, display, boat->water); !shown)
        return shown.error();
    return LiveJudge(std::move(boat).value(), std::move(rules).value(), facts,
                     options.water.temperature_c.has_value(), display);
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
    look_at_leads(reading, line);
    // An open lead keeps the last value for a while: it looks as good as any other.
    if (line.lead == LeadState::unknown) line.quality |= Quality::unsettled;
    // Where nothing answers as cell B there is none.
    const LeadState b = lead_state(look_.b, circuit_);
    if (b == LeadState::good || b == LeadState::drying)
        line.cell_b_mv = conversion_.cell_b_mv(reading, converter_.now());
    else
        line.quality = without(line.quality, Quality::cell_b_saturated | Quality::cell_b_not_good);
    const double potential_mv = line.potential_mv;
    return at_potential(std::move(line), potential_mv);
}

/// By the last look since the logger's last restart.
void LiveJudge::look_at_leads(const wire::Reading& reading, LiveLine& line) {
    if (reading.head.boot != boot_) {
        boot_ = reading.head.boot;
        look_.a = look_.b = wire::missing_byte;
    }
    if (reading.source_a != wire::missing_byte) {
        look_.a = reading.source_a;
        look_tick_s_ = reading.head.ticks_s;
    }
    if (reading.source_b != wire::missing_byte) look_.b = reading.source_b;
    line.lead = lead_state(look_.a, circuit_);
    line.source_ohm = source_ohm(look_.a, circuit_);
    line.lead_words = lead_words(look_.a, look_.b, circuit_);
    if (look_.a != wire::missing_byte) line.looked_ago_s = reading.head.ticks_s - look_tick_s_;
}

/// On agcl/seawater as it is judged, by whatever constants are the stricter there.
void LiveJudge::put_on_display(LiveLine& line, const Water& water, CellCheck check) const {
    line.display_mv = line.standard_mv;
    line.display_expanded_mv = line.expanded_uncertainty_mv;
    if (display_ == Scale::agcl_seawater) return;
    const auto shown_mv = convert_mv(line.potential_mv, boat_.cell_scale, display_, water);
    const auto budget =
        reading_budget(boat_.cell_scale, water, check, boat_.budget_terms, boat_.meter, display_);
    line.display_mv = shown_mv ? *shown_mv : missing_value;
    line.display_expanded_mv = budget ? budget->expanded_mv() : missing_value;
}

LiveLine LiveJudge::at_potential(LiveLine line, double potential_mv) const {
    line.potential_mv = potential_mv;
    line.judgement = {};
    Water water = boat_.water;
    if (!temperature_given_ && !std::isnan(line.temperature_c))
        water.temperature_c = line.temperature_c;
    const CellCheck check = cell_check_of(boat_, line.time, line.time);
    const auto offset = standard_offset(boat_.cell_scale, water);
    const auto budget =
        reading_budget(boat_.cell_scale, water, check, boat_.budget_terms, boat_.meter);
    if (!offset || !budget) return line;
    const ByConstants standard_mv = line.potential_mv + offset->offset_mv;
    line.standard_mv = standard_mv.less_negative_mv();
    line.expanded_uncertainty_mv = budget->expanded_mv();
    put_on_display(line, water, check);
    const bool usable =
        line.lead != LeadState::unknown &&
        !has(line.quality, Quality::saturated | Quality::converter_fault | Quality::unsettled |
                               Quality::uncalibrated | Quality::lead_not_good);
    if (!usable) return line;
    line.judgement = judge(rules_, standard_mv, budget->spread());
    if (auto why = next_to_nothing(line.potential_mv, boat_.cell_scale))
        line.judgement.reasons.push_back(std::move(*why));
    return line;
}

} // namespace quaycell
