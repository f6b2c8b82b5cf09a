#include "judging/judgement_text.h"

#include "base/rounding.h"
#include "chart/told.h"
#include "diagnosis/advice.h"
#include "diagnosis/causes.h"
#include "diagnosis/trace_advice.h"
#include "diagnosis/trace_causes.h"
#include "judging/criteria_text.h"
#include "judging/water_json.h"
#include "series/spells.h"

#include <algorithm>
#include <cmath>
#include <fmt/chrono.h>
#include <fmt/format.h>
#include <fmt/ranges.h>

namespace quaycell {

namespace {

std::string lines(std::string_view label, const std::vector<std::string>& texts) {
    std::string result;
    for (const std::string& text : texts)
        result += fmt::format("{}: {}\n", label, text);
    return result;
}

/// How much of the spell its verdict held, where that is not nearly all.
std::string held_text(const Spell& spell) {
    constexpr double nearly_all = 0.995;
    return spell.held < nearly_all ? fmt::format("{:.0f} % of it", 100 * spell.held) : "";
}

/// Spells worth a line: whatever is not protected, the longest first, a few of them.
std::string spells_text(const JudgedTrace& judged, int decimals) {
    constexpr std::size_t most = 8;
    std::vector<Spell> spells;
    std::ranges::copy_if(judged.spells, std::back_inserter(spells),
                         [](const Spell& spell) { return spell.verdict != Verdict::protected_; });
    const std::size_t all = spells.size();
    std::ranges::stable_sort(spells, std::ranges::greater{},
                             [](const Spell& spell) { return spell.to - spell.from; });
    if (spells.size() > most) spells.resize(most);
    std::ranges::sort(spells, {}, &Spell::from);

    std::string text;
    for (const Spell& spell : spells) {
        text += fmt::format(
            "  {} to {}  {} ({})", to_text(spell.from), to_text(spell.to), name_of(spell.verdict),
            to_text(std::chrono::duration_cast<std::chrono::seconds>(spell.to - spell.from)));
        if (std::string held = held_text(spell); !held.empty()) text += ", " + held;
        if (std::isfinite(spell.worst_mv))
            text += fmt::format(", worst {} mV", rounded_text(spell.worst_mv, decimals));
        text += '\n';
    }
    if (all > most)
        text += fmt::format("  and {} shorter ones; --json lists them all\n", all - most);
    return text;
}

/// What is usual with shore power and without, the tide's and the day's part, and the drift.
std::string levels_text(const JudgedTrace& judged, int decimals) {
    std::string text;
    const ShoreStatistics& shore = judged.shore;
    if (std::isfinite(shore.plugged_median_mv) && std::isfinite(shore.unplugged_median_mv))
        text += fmt::format("shore power: median {} mV plugged in, {} mV unplugged\n",
                            rounded_text(shore.plugged_median_mv, decimals),
                            rounded_text(shore.unplugged_median_mv, decimals));
    if (std::isfinite(shore.ac_p95_mv))
        text +=
            fmt::format("AC at the cell: 95 % of the time below {:.0f} mV rms\n", shore.ac_p95_mv);
    for (const Cycle& cycle : judged.cycles.found) {
        const double expanded_mv = std::max(2 * cycle.uncertainty_mv, least_told_mv);
        const int places = told_decimals_mv(expanded_mv);
        text += fmt::format("{} ({:g} h): {} +/- {} mV up and down\n", cycle.name, cycle.period_h,
                            rounded_text(cycle.amplitude_mv, places),
                            rounded_text(expanded_mv, places));
    }
    const Trend& trend = judged.trend;
    if (trend.why_none.empty()) {
        const int places = told_decimals((trend.high - trend.low) / 2);
        text += fmt::format("drift: {} mV a day, 95 % interval {} to {}, {}\n",
                            rounded_text(trend.mv_per_day, places), rounded_text(trend.low, places),
                            rounded_text(trend.high, places),
                            trend.significant ? "significant" : "may well be none");
    }
    if (const auto& exit = judged.band_exit)
        text += fmt::format(
            "at that rate {:.0f} mV, the end of the band, is reached {} {:%Y-%m-%d}{}: the drift's "
            "interval, and +/- {} mV of the reading\n",
            exit->limit_mv, exit->latest ? "between" : "not before", exit->earliest,
            exit->latest ? fmt::format(" and {:%Y-%m-%d}", *exit->latest) : "",
            rounded_text(exit->expanded_uncertainty_mv,
                         told_decimals_mv(exit->expanded_uncertainty_mv)));
    return text;
}

/// What may lie behind what happened, the likeliest first, and what tells it from the rest.
std::string likely_causes_text(const TraceJudgement& judgement) {
    std::string text;
    for (const TraceCause& cause : trace_causes(judgement.judged, in_its_water(judgement.boat),
                                                judgement.boat.cell_scale == Scale::agcl_open)) {
        text += fmt::format("  {}\n    for: {}\n", cause.cause, fmt::join(cause.speaks_for, "; "));
        if (!cause.speaks_against.empty())
            text += fmt::format("    against: {}\n", fmt::join(cause.speaks_against, "; "));
        text += fmt::format("    to tell: {}\n", cause.test);
        if (!cause.caution.empty()) text += fmt::format("    caution: {}\n", cause.caution);
    }
    return text.empty() ? text : "what may lie behind it, the likeliest first:\n" + text;
}

std::string grounds_text(const Judgement& judgement, const Boat& boat,
                         const std::vector<std::string>& reasons,
                         const std::vector<std::string>& advice) {
    std::string text;
    for (const RowJudgement& row : judgement.rows) {
        text +=
            fmt::format("criterion: {}, {}: {} ({})\n", row.criterion.subject,
                        band_text(row.criterion), name_of(row.verdict), source_text(row.criterion));
        if (!row.criterion.note.empty()) text += fmt::format("  note: {}\n", row.criterion.note);
    }
    if (judgement.conflict) text += "conflict: " + *judgement.conflict + '\n';
    text += lines("why", reasons);
    text += lines("why", judgement.reasons);
    for (const Cause& cause : causes_of(judgement, in_its_water(boat)))
        text += fmt::format("possible cause: {}\n", cause.why);
    return text + lines("advice", advice);
}

} // namespace

std::string criteria_text(const Judgement& judgement, const Boat& boat,
                          const std::vector<std::string>& reasons) {
    return grounds_text(judgement, boat, reasons,
                        advice_for(judgement, boat.hull, boat.metals, boat.water));
}

std::string criteria_text(const TraceJudgement& judgement) {
    const Boat& boat = judgement.boat;
    return grounds_text(
        judgement.explained, boat, judgement.reasons,
        trace_advice(judgement.judged, judgement.explained, boat.hull, boat.metals, boat.water));
}

std::string trace_text(const TraceJudgement& judgement) {
    const JudgedTrace& judged = judgement.judged;
    const Readings& trace = judgement.trace;
    const int decimals = told_decimals_mv(judgement.explained.expanded_uncertainty_mv);
    const auto mv = [&](double value) { return rounded_text(value, decimals); };
    std::string text = fmt::format("verdict: {}\n", name_of(judged.overall));
    if (trace.time.empty()) return text + "the trace holds no reading\n";
    text += fmt::format("period: {} to {}, {} reading{}, {} covered\n", to_text(trace.time.front()),
                        to_text(trace.time.back()), trace.time.size(),
                        trace.time.size() == 1 ? "" : "s",
                        to_text(std::chrono::seconds{static_cast<std::int64_t>(judged.covered_s)}));
    text += judged.covered_s == 0 ? "readings in each verdict:\n" : "time in each verdict:\n";
    for (const Verdict verdict : {Verdict::protected_, Verdict::under_protected,
                                  Verdict::over_protected, Verdict::undecided, Verdict::no_verdict})
        text += fmt::format("  {:<16} {:>7}\n", name_of(verdict),
                            percent_text(judged.share.of(verdict)));
    if (std::isfinite(judged.statistics.median_mv)) {
        text += "potential on agcl/seawater: ";
        if (judged.covered_s != 0)
            text += fmt::format("median {} mV, 90 % of the time {} to {} mV, ",
                                mv(judged.statistics.median_mv), mv(judged.statistics.p5_mv),
                                mv(judged.statistics.p95_mv));
        text += fmt::format("least negative {} mV, most negative {} mV; each {}\n",
                            mv(judged.statistics.max_mv), mv(judged.statistics.min_mv),
                            uncertainty_text(judgement.explained.expanded_uncertainty_mv));
    }
    text += levels_text(judged, decimals);
    const std::string spells = spells_text(judged, decimals);
    if (!spells.empty())
        text += fmt::format("not protected, or not known to be ({}):\n{}", spell_rule, spells);
    if (!judged.events.empty()) text += "events:\n";
    for (const Event& event : judged.events)
        text += fmt::format("  {}  {}: {}\n", to_text(event.time), name_of(event.kind), event.why);
    return text + likely_causes_text(judgement);
}

std::string footing_text(const Judgement& judgement, const Boat& boat) {
    return lines("assumed", boat.water.assumed) +
           lines("caution", cautions_for(judgement, boat.hull, boat.metals, boat.water));
}

std::string footing_text(const TraceJudgement& judgement) {
    const Boat& boat = judgement.boat;
    return lines("assumed", boat.water.assumed) +
           lines("caution", trace_cautions(judgement.judged, judgement.explained, boat.hull,
                                           boat.metals, boat.water));
}

} // namespace quaycell
