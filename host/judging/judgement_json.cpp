#include "judging/judgement_text.h"

#include "diagnosis/advice.h"
#include "diagnosis/causes.h"
#include "diagnosis/trace_advice.h"
#include "diagnosis/trace_causes.h"
#include "judging/correction_text.h"
#include "judging/criteria_text.h"
#include "judging/json_text.h"
#include "judging/water_json.h"

#include <boost/json.hpp>

namespace quaycell {

namespace json = boost::json;

namespace {

json::value texts_json(const std::vector<std::string>& texts) {
    return json::array(texts.begin(), texts.end());
}

json::value row_json(const RowJudgement& row) {
    json::object object = criterion_json(row.criterion);
    object["potential_mv"] = rounded(row.potential_mv, 1);
    object["verdict"] = name_of(row.verdict);
    object["probability"] = {{"under-protected", rounded(row.probability.under, 4)},
                             {"protected", rounded(row.probability.protected_, 4)},
                             {"over-protected", rounded(row.probability.over, 4)}};
    return object;
}

json::array causes_json(const Judgement& judgement, const Boat& boat) {
    json::array causes;
    for (const Cause& cause : causes_of(judgement, in_its_water(boat)))
        causes.push_back({{"cause", cause.id},
                          {"why", cause.why},
                          {"source", cause.source},
                          {"status", cause.status}});
    return causes;
}

json::value band_exit_json(const std::optional<BandExit>& exit) {
    if (!exit) return nullptr;
    return {{"limit_mv", rounded(exit->limit_mv, 1)},
            {"earliest", to_text(exit->earliest)},
            {"latest", exit->latest ? json::value(to_text(*exit->latest)) : nullptr},
            {"expanded_uncertainty_mv", rounded(exit->expanded_uncertainty_mv, 1)}};
}

json::array likely_causes_json(const TraceJudgement& judgement) {
    json::array causes;
    for (const TraceCause& cause : trace_causes(judgement.judged, in_its_water(judgement.boat),
                                                judgement.boat.cell_scale == Scale::agcl_open))
        causes.push_back({{"cause", cause.id},
                          {"what", cause.cause},
                          {"for", texts_json(cause.speaks_for)},
                          {"against", texts_json(cause.speaks_against)},
                          {"test", cause.test},
                          {"caution", cause.caution},
                          {"source", cause.source},
                          {"status", cause.status}});
    return causes;
}

} // namespace

json::object judgement_json(const Judgement& judgement, const Boat& boat,
                            const std::vector<std::string>& reasons) {
    json::array criteria;
    for (const RowJudgement& row : judgement.rows)
        criteria.push_back(row_json(row));
    std::vector<std::string> all_reasons = reasons;
    all_reasons.insert(all_reasons.end(), judgement.reasons.begin(), judgement.reasons.end());
    return {{"verdict", name_of(judgement.verdict)},
            {"potential_mv", rounded(judgement.potential_mv, 1)},
            {"scale", name_of(Scale::agcl_seawater)},
            {"expanded_uncertainty_mv", rounded(judgement.expanded_uncertainty_mv, 1)},
            {"criteria", criteria},
            {"conflict", judgement.conflict ? json::value(*judgement.conflict) : nullptr},
            {"reasons", texts_json(all_reasons)},
            {"causes", causes_json(judgement, boat)},
            {"advice", texts_json(advice_for(judgement, boat.hull, boat.metals, boat.water))},
            {"cautions", texts_json(cautions_for(judgement, boat.hull, boat.metals, boat.water))},
            {"water", to_json(boat.water)},
            {"assumed", assumed_json(boat.water)}};
}

json::object trace_judgement_json(const TraceJudgement& judgement) {
    const JudgedTrace& judged = judgement.judged;
    auto object = judgement_json(judgement.explained, judgement.boat, judgement.reasons);
    object["advice"] = texts_json(trace_advice(judged, judgement.explained, judgement.boat.hull,
                                               judgement.boat.metals, judgement.boat.water));
    object["cautions"] = texts_json(trace_cautions(judged, judgement.explained, judgement.boat.hull,
                                                   judgement.boat.metals, judgement.boat.water));
    object["verdict"] = name_of(judged.overall);
    object["potential_mv"] = rounded(judged.statistics.median_mv, 1);
    object["readings"] = judgement.trace.time.size();
    object["corrections"] = corrections_json(judgement.corrections);
    object["covered_s"] = rounded(judged.covered_s, 3);
    json::object share;
    for (const Verdict verdict : {Verdict::under_protected, Verdict::protected_,
                                  Verdict::over_protected, Verdict::undecided, Verdict::no_verdict})
        share[name_of(verdict)] = rounded(judged.share.of(verdict), 6);
    object["time_share"] = share;
    json::array gaps;
    for (const Gap& gap : judged.gaps)
        gaps.push_back({{"from", to_text(gap.from)}, {"to", to_text(gap.to)}});
    object["gaps"] = gaps;
    object["statistics"] = {{"median_mv", rounded(judged.statistics.median_mv, 1)},
                            {"p5_mv", rounded(judged.statistics.p5_mv, 1)},
                            {"p95_mv", rounded(judged.statistics.p95_mv, 1)},
                            {"min_mv", rounded(judged.statistics.min_mv, 1)},
                            {"max_mv", rounded(judged.statistics.max_mv, 1)},
                            {"plugged_median_mv", rounded(judged.shore.plugged_median_mv, 1)},
                            {"unplugged_median_mv", rounded(judged.shore.unplugged_median_mv, 1)},
                            {"ac_p95_mv", rounded(judged.shore.ac_p95_mv, 1)}};
    json::array spells;
    for (const Spell& spell : judged.spells)
        spells.push_back({{"from", to_text(spell.from)},
                          {"to", to_text(spell.to)},
                          {"verdict", name_of(spell.verdict)},
                          {"held", rounded(spell.held, 3)},
                          {"worst_mv", rounded(spell.worst_mv, 1)}});
    object["spells"] = spells;
    json::array events;
    for (const Event& event : judged.events)
        events.push_back({{"time", to_text(event.time)},
                          {"kind", name_of(event.kind)},
                          {"change_mv", rounded(event.change_mv, 1)},
                          {"why", event.why}});
    object["events"] = events;
    object["likely_causes"] = likely_causes_json(judgement);
    json::array cycles;
    for (const Cycle& cycle : judged.cycles.found)
        cycles.push_back({{"name", cycle.name},
                          {"period_h", cycle.period_h},
                          {"amplitude_mv", rounded(cycle.amplitude_mv, 2)},
                          {"expanded_uncertainty_mv", rounded(2 * cycle.uncertainty_mv, 2)},
                          {"high_at", to_text(cycle.high_at)}});
    object["cycles"] = cycles;
    const Trend& trend = judged.trend;
    object["trend"] = {{"mv_per_day", rounded(trend.mv_per_day, 3)},
                       {"low", rounded(trend.low, 3)},
                       {"high", rounded(trend.high, 3)},
                       {"significant", trend.significant},
                       {"leaves_band", band_exit_json(judged.band_exit)}};
    return object;
}

} // namespace quaycell
