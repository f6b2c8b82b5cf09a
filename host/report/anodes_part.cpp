#include "report/anodes_part.h"

#include "base/rounding.h"
#include "chart/told.h"
#include "diagnosis/anode_words.h"
#include "report/report_parts.h"

#include <algorithm>
#include <fmt/format.h>

namespace quaycell {

namespace {

constexpr const char* not_known = "not known";

Table log_table(const ReportedAnodes& anodes) {
    Table table{"What was fitted and weighed, as people wrote it down; nobody checked it",
                {{"Day", 0.14}, {"Where", 0.24}, {"What", 0.34}, {"Who, and when", 0.28}},
                {}};
    for (const AnodeLogFact& each : anodes.log)
        table.rows.push_back({each.day, each.place, each.what, each.who});
    return table;
}

std::string last_seen_text(const FittedAnode& anode) {
    if (anode.seen.empty()) return "never weighed";
    const AnodeMassSeen& last = anode.seen.back();
    return fmt::format("{:g} kg{}, {}", last.mass_kg, last.weighed ? "" : " by eye",
                       day_text(last.at));
}

std::string share_text(const Wear& wear, Instant at) {
    const Range left = wear.share_left_at(at);
    if (wear.gone_by) return "nothing";
    return fmt::format("{:.0f} to {:.0f}", 100 * left.low, 100 * left.high);
}

std::string rate_text(const Wear& wear) {
    if (wear.gone_by) return "at least " + significant_text(wear.rate_g_day.low, 2);
    const double limit = wear.rate_g_day.half_width();
    return fmt::format("{} ({} to {})", told(wear.rate_middle_g_day, limit),
                       told(wear.rate_g_day.low, limit), told(wear.rate_g_day.high, limit));
}

std::string gone_text(const Wear& wear) {
    if (wear.is_due) return "already";
    if (!wear.renew_from) return not_known;
    if (!wear.renew_to) return day_text(*wear.renew_from) + " or much later";
    return fmt::format("{} to {}", day_text(*wear.renew_from), day_text(*wear.renew_to));
}

Table wear_table(const ReportedAnodes& anodes) {
    const double renew_at_gone = anodes.plan.grounds.renew_at_gone;
    Table table{fmt::format("What follows by a line through the weighings; left on {}, {}",
                            day_text(anodes.as_of), anodes.as_of_by),
                {{"Where", 0.17},
                 {"Alloy", 0.12},
                 {"New, kg", 0.07, Anchor::end},
                 {"Fitted", 0.13},
                 {"Last seen", 0.15},
                 {"Left, %", 0.09},
                 {"Wastes, g a day", 0.12},
                 {renew_at_gone == usually_renewed_at_gone
                      ? std::string("Half gone")
                      : fmt::format("{:g} % gone", 100 * renew_at_gone),
                  0.15}},
                {}};
    for (const PlannedAnode& each : anodes.plan.anodes) {
        std::vector<std::string> row{each.anode.place, std::string(name_of(each.anode.alloy)),
                                     fmt::format("{:g}", each.anode.new_mass_kg),
                                     day_text(each.anode.fitted), last_seen_text(each.anode)};
        if (each.wear)
            row.insert(row.end(), {share_text(*each.wear, anodes.as_of), rate_text(*each.wear),
                                   gone_text(*each.wear)});
        else
            row.insert(row.end(), 3, not_known);
        table.rows.push_back(std::move(row));
    }
    return table;
}

/// Why there may be no finding.
std::string without_finding(const AnodePlan& plan) {
    if (!plan.grounds.reading) return "there is no reading of the hull";
    if (std::ranges::none_of(plan.anodes,
                             [](const PlannedAnode& each) { return each.wear.has_value(); }))
        return "no anode was weighed since it was fitted";
    const Verdict verdict = plan.grounds.reading->verdict;
    if (verdict == Verdict::undecided || verdict == Verdict::no_verdict)
        return reading_text(plan.grounds.reading);
    return "no anode is known for long enough since it was fitted, or the readings begin before "
           "the anodes were fitted, or they wear as is to be expected there";
}

void add_findings(const AnodePlan& plan, Section& section) {
    const auto found = findings(plan);
    for (const auto& [places, finding] : found) {
        section.blocks.emplace_back(
            Paragraph{fmt::format("{}: {}.", places, finding_text(finding)), Voice::opinion});
        if (!finding.caution.empty())
            section.blocks.emplace_back(Paragraph{std::string(finding.caution), Voice::caution});
    }
    if (found.empty())
        section.blocks.emplace_back(
            Paragraph{fmt::format("Of the anodes, wear and potential together say nothing: {}.",
                                  without_finding(plan)),
                      Voice::opinion});
    for (const std::string& caution : plan.cautions)
        section.blocks.emplace_back(Paragraph{caution, Voice::caution});
}

std::string haul_out_text(const AnodePlan& plan) {
    const auto& haul_out = plan.grounds.haul_out;
    return haul_out ? "the haul-out of " + day_text(*haul_out) : std::string("the next haul-out");
}

void add_plan(const AnodePlan& plan, Section& section) {
    Table buy{"Anodes to buy for " + haul_out_text(plan),
              {{"Where", 0.18}, {"What", 0.44}, {"When", 0.38}},
              {}};
    for (const PlannedPurchase& each : purchases(plan)) {
        std::string what = as_sentence(each.what);
        if (!each.why.empty()) what += ' ' + each.why;
        if (!each.limit.empty()) what += fmt::format(" Mind: {}.", each.limit);
        buy.rows.push_back({each.place, std::move(what), as_sentence(each.when)});
    }
    if (buy.rows.empty())
        section.blocks.emplace_back(Paragraph{
            fmt::format("No anode is to be bought for {}.", haul_out_text(plan)), Voice::opinion});
    else
        section.blocks.emplace_back(std::move(buy));
    Table look{"What to look at there", {{"Where", 0.18}, {"What", 0.82}}, {}};
    for (const PlannedLook& each : looks(plan))
        look.rows.push_back({each.places, as_sentence(each.what)});
    section.blocks.emplace_back(std::move(look));
}

} // namespace

Section anodes_section(const ReportedAnodes& anodes) {
    Section section{"Anodes", {}};
    section.blocks.emplace_back(log_table(anodes));
    if (anodes.other_entries != 0)
        section.blocks.emplace_back(Paragraph{fmt::format(
            "{} more entr{} on anodes that are gone go{} with this report.", anodes.other_entries,
            anodes.other_entries == 1 ? "y" : "ies", anodes.other_entries == 1 ? "es" : "")});
    section.blocks.emplace_back(wear_table(anodes));
    section.blocks.emplace_back(Paragraph{
        "Days are those of UTC. Shares, rates and days are ranges, k = 2: a scale is taken to be "
        "within 1 % of the new mass and an eye within 10 % (our judgement). They hold as long as "
        "the boat lies as she did. That an anode is renewed when half of it is gone is common "
        "practice, without a source."});
    for (const Scene& chart : anodes.charts)
        section.blocks.emplace_back(
            Figure{chart, "Dots: weighed. Dashes: the line through them. Shaded, where that "
                          "is known: when it is expected to be due."});
    if (anodes.not_drawn != 0)
        section.blocks.emplace_back(Paragraph{fmt::format(
            "Drawn are those that are due first; {} more stand in the table.", anodes.not_drawn)});
    return section;
}

void add_anode_opinion(const ReportedAnodes& anodes, Section& section) {
    section.blocks.emplace_back(
        Paragraph{fmt::format("The anodes, their wear and the potential read as one; {}.",
                              reading_text(anodes.plan.grounds.reading))});
    add_findings(anodes.plan, section);
    add_plan(anodes.plan, section);
}

} // namespace quaycell
