#include "report/report_parts.h"

#include "base/rounding.h"
#include "chart/axis.h"
#include "chart/listed.h"
#include "chart/told.h"
#include "chart/trace_parts.h"
#include "series/spells.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace quaycell {

namespace {

constexpr const char* numbers_told =
    " The numbers are those of the tables: S of the spells, the others of the events.";

std::string lasting(Instant from, Instant to) {
    return to_text(std::chrono::duration_cast<std::chrono::seconds>(to - from));
}

/// What shares are of: one reading or two cover no time.
std::string_view whole_of(const JudgedTrace& judged) {
    return judged.covered_s == 0 ? "the readings" : "the time covered";
}

Table shares_table(const JudgedTrace& judged) {
    Table table{fmt::format("Share of {} in each verdict", whole_of(judged)),
                {{"Verdict", 0.4}, {"Share", 0.2, Anchor::end}},
                {}};
    for (const Verdict verdict : verdicts_in_order)
        table.rows.push_back(
            {std::string(name_of(verdict)), percent_text(judged.share.of(verdict))});
    return table;
}

constexpr std::size_t most_rows = 60; ///< of a table: some two pages; the evidence has all

double uncertainty_of(const ReportedTrace& facts) {
    return facts.explained.expanded_uncertainty_mv;
}

/// Whatever is not protected, and below it what was left out.
void add_spells(const ReportedTrace& facts, const Zone& zone, Section& section) {
    Table table{"Times in which the hull was not protected, or not known to be",
                {{"No.", 0.07},
                 {"From", 0.23},
                 {"To", 0.23},
                 {"Lasted", 0.12},
                 {"Verdict", 0.16},
                 {"Of it", 0.08, Anchor::end},
                 {"Worst", 0.11, Anchor::end}},
                {}};
    const std::vector<NumberedSpell> spells = numbered_spells(facts.judged);
    const Listed listed = longest_spells(spells, most_rows);
    for (const std::size_t row : listed.rows) {
        const auto& [number, spell] = spells[row];
        table.rows.push_back({number, to_words(spell.from, zone), to_words(spell.to, zone),
                              lasting(spell.from, spell.to), std::string(name_of(spell.verdict)),
                              percent_text(spell.held),
                              millivolts(spell.worst_mv, uncertainty_of(facts))});
    }
    section.blocks.emplace_back(std::move(table));
    std::string told =
        fmt::format("Each verdict held for the part of its spell under \"Of it\": {}.", spell_rule);
    if (listed.left_out > 0)
        told += fmt::format(
            " Listed are the longest, and of each verdict the one that went farthest. {} shorter "
            "ones, {} together, are not; the shares count them, and judgement.json, which goes "
            "with "
            "this report, has all.",
            listed.left_out,
            to_text(std::chrono::duration_cast<std::chrono::seconds>(listed.left_out_lasting)));
    section.blocks.emplace_back(Paragraph{std::move(told)});
}

/// One reading as it was measured, and where that lies on the scale of the criteria: what the
/// corrections make of it.
void add_typical(const ReportedTrace& facts, Facts& shown) {
    const std::optional<std::size_t> row = facts.judged.typical_row;
    if (!row) return;
    shown.entries.push_back(
        {fmt::format("A typical {} reading, against the cell", name_of(facts.explained.verdict)),
         millivolts(facts.trace.potential_mv[*row], uncertainty_of(facts))});
    shown.entries.push_back({"The same on agcl/seawater",
                             millivolts(facts.judged.standard_mv[*row], uncertainty_of(facts))});
}

std::string cycle_text(const Cycle& cycle) {
    const double expanded_mv = std::max(2 * cycle.uncertainty_mv, least_told_mv);
    return fmt::format("{} ± {} mV up and down", told_mv(cycle.amplitude_mv, expanded_mv),
                       told_uncertainty_mv(expanded_mv));
}

/// No drift is told finer, in mV a day: 1 mV in three months.
constexpr double least_told_drift = 0.1;

std::string drift_text(const Trend& trend) {
    if (!trend.why_none.empty()) return trend.why_none;
    const double half_width = std::max((trend.high - trend.low) / 2, least_told_drift);
    return fmt::format("{} mV a day, 95 % interval {} to {}, {}",
                       told(trend.mv_per_day, half_width), told(trend.low, half_width),
                       told(trend.high, half_width),
                       trend.significant ? "significant" : "may well be none");
}

Facts statistics_facts(const ReportedTrace& facts) {
    const Statistics& found = facts.judged.statistics;
    const auto mv = [&](double value) { return millivolts(value, uncertainty_of(facts)); };
    if (facts.trace.time.size() == 1)
        return {{{"Against the cell", mv(facts.trace.potential_mv[0])},
                 {"On agcl/seawater", mv(found.median_mv)}}};
    Facts shown{{{"Median", mv(found.median_mv)},
                 {"90 % of the time",
                  std::isfinite(found.p5_mv) ? mv(found.p95_mv) + " to " + mv(found.p5_mv) : ""},
                 {"Least negative", mv(found.max_mv)},
                 {"Most negative", mv(found.min_mv)}}};
    add_typical(facts, shown);
    const ShoreStatistics& shore = facts.judged.shore;
    // That shore power was plugged in nobody saw: the readings are taken for it.
    const std::string inferred = std::isfinite(shore.ac_p95_mv)
                                     ? ", inferred from level and AC"
                                     : ", inferred from the level: no AC was measured";
    if (std::isfinite(shore.plugged_median_mv))
        shown.entries.push_back({"Median plugged in", mv(shore.plugged_median_mv) + inferred});
    if (std::isfinite(shore.unplugged_median_mv))
        shown.entries.push_back({"Median unplugged", mv(shore.unplugged_median_mv) + inferred});
    if (std::isfinite(shore.ac_p95_mv))
        shown.entries.push_back(
            {"AC, 95 % of the time below", fmt::format("{:.0f} mV rms", shore.ac_p95_mv)});
    for (const Cycle& cycle : facts.judged.cycles.found)
        shown.entries.push_back(
            {fmt::format("{}, {:g} h", cycle.name, cycle.period_h), cycle_text(cycle)});
    shown.entries.push_back({"Drift", drift_text(facts.judged.trend)});
    return shown;
}

std::string period_of(const ReportedTrace& facts, const Zone& zone) {
    const auto& time = facts.trace.time;
    const std::string first = to_words(time.front(), zone);
    if (time.size() == 1) return first;
    return fmt::format("{} to {}", first, to_words(time.back(), zone));
}

std::string readings_of(const ReportedTrace& facts) {
    const auto covered_s = static_cast<std::int64_t>(facts.judged.covered_s);
    std::string text = std::to_string(facts.trace.time.size());
    if (covered_s != 0)
        text += fmt::format(", {} covered", to_text(std::chrono::seconds{covered_s}));
    return text;
}

/// How long nobody knows what the potential was.
std::string silence_text(const std::vector<Gap>& gaps) {
    if (gaps.empty()) return "none";
    Milliseconds all{0}, longest{0};
    for (const Gap& gap : gaps) {
        all += gap.to - gap.from;
        longest = std::max(longest, Milliseconds{gap.to - gap.from});
    }
    const auto words = [](Milliseconds time) {
        return to_text(std::chrono::duration_cast<std::chrono::seconds>(time));
    };
    if (gaps.size() == 1) return fmt::format("one gap of {}", words(all));
    return fmt::format("{} gaps, {} in all, the longest {}", gaps.size(), words(all),
                       words(longest));
}

Facts trace_in_short(const ReportedTrace& facts, const Zone& zone) {
    return {
        {{"Verdict", std::string(name_of(facts.judged.overall))},
         {"Period", period_of(facts, zone)},
         {"Readings", readings_of(facts)},
         {"Time without readings", silence_text(facts.judged.gaps)},
         {"Protected", fmt::format("{} of {}", percent_text(facts.judged.share.protected_),
                                   whole_of(facts.judged))},
         {"Median potential", millivolts(facts.judged.statistics.median_mv, uncertainty_of(facts)) +
                                  " on agcl/seawater"}}};
}

} // namespace

Section summary_section(const ReportFacts& facts) {
    Section section{"In short", {}};
    if (facts.trace != nullptr) {
        const auto& time = facts.trace->trace.time;
        section.blocks.emplace_back(trace_in_short(*facts.trace, facts.zone));
        section.blocks.emplace_back(
            Paragraph{fmt::format("{}. Files that go with this report are in UTC.",
                                  time_title(time.front(), time.back(), facts.zone))});
    } else if (facts.survey != nullptr)
        add_survey_in_short(*facts.survey, facts.zone, section);
    for (const std::string& caution : facts.cautions)
        section.blocks.emplace_back(Paragraph{caution, Voice::caution});
    return section;
}

Section results_section(const ReportedTrace& facts, const Zone& zone) {
    Section section{"Results", {}};
    const bool has_numbers = !facts.judged.events.empty() || !numbered_spells(facts.judged).empty();
    section.blocks.emplace_back(
        Figure{facts.chart, facts.chart_caption + (has_numbers ? numbers_told : "")});
    section.blocks.emplace_back(shares_table(facts.judged));
    section.blocks.emplace_back(statistics_facts(facts));
    if (facts.judged.spells.empty())
        section.blocks.emplace_back(Paragraph{"No reading shows the hull."});
    else if (facts.judged.share.protected_ == 1)
        section.blocks.emplace_back(
            Paragraph{"No reading found the hull outside its band, or left it in doubt."});
    else if (numbered_spells(facts.judged).empty())
        section.blocks.emplace_back(Paragraph{fmt::format(
            "The readings outside the band, or in doubt, make no spell of their own: {}. The "
            "shares count them.",
            spell_rule)});
    else
        add_spells(facts, zone, section);
    for (const std::string& remark : facts.remarks)
        section.blocks.emplace_back(Paragraph{as_sentence(with_minus_signs(remark))});
    return section;
}

Section events_section(const ReportedTrace& facts, const Zone& zone) {
    Section section{"Events", {}};
    if (facts.judged.events.empty()) {
        section.blocks.emplace_back(Paragraph{"None was found."});
        return section;
    }
    Table table{"What the readings show, in order of time; what each is taken for is inferred from "
                "them, nobody saw it",
                {{"No.", 0.07},
                 {"Time", 0.25},
                 {"Kind", 0.17},
                 {"Change", 0.11, Anchor::end},
                 {"Why it is taken for that", 0.4}},
                {}};
    const std::vector<Event>& events = facts.judged.events;
    const std::vector<std::string> numbers = event_numbers(events, facts.trace.time);
    const Listed listed = largest_events(events, most_rows);
    for (const std::size_t i : listed.rows)
        table.rows.push_back(
            {numbers[i], to_words(events[i].time, zone), std::string(name_of(events[i].kind)),
             std::isfinite(events[i].change_mv) ? number_text(events[i].change_mv, 0) + " mV" : "",
             with_times_in(events[i].why, zone)});
    section.blocks.emplace_back(std::move(table));
    if (listed.left_out > 0)
        section.blocks.emplace_back(Paragraph{
            listed.left_out == 1
                ? std::string("One event of smaller change, a gap or a restart, is not "
                              "listed; judgement.json, which goes with this report, has "
                              "it.")
                : fmt::format("{} events of smaller change, gaps and restarts among them, "
                              "are not listed; judgement.json, which goes with this "
                              "report, has all.",
                              listed.left_out)});
    if (const auto outside = std::ranges::count(numbers, std::string()); outside > 0)
        section.blocks.emplace_back(Paragraph{fmt::format(
            "What has no number happened before the first reading or after the last ({} in all); "
            "the chart does not show it.",
            outside)});
    return section;
}

} // namespace quaycell
