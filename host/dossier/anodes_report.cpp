#include "dossier/anodes_report.h"

#include "diagnosis/anode_words.h"
#include "judging/anode_log.h"
#include "judging/anode_plan_text.h"
#include "judging/json_text.h"
#include "judging/wear_figure.h"
#include "judging/wear_json.h"

#include <algorithm>
#include <boost/json.hpp>
#include <fmt/format.h>

namespace quaycell {

namespace {

namespace json = boost::json;

/// More would fill pages; the table holds all.
constexpr std::size_t most_charts = 3;

Instant last_known(const std::vector<FittedAnode>& anodes) {
    Instant last = anodes.front().fitted;
    for (const FittedAnode& each : anodes)
        last = std::max(last, each.seen.empty() ? each.fitted : each.seen.back().at);
    return last;
}

/// The day that the report states, unless somebody weighed later.
void state_day(PlannedLog& planned, const Inspection& inspection, Instant last_reading,
               Instant last_entry) {
    planned.as_of = last_reading;
    planned.as_of_by = "the day of the last reading";
    if (!inspection.date.empty())
        if (const auto day = parse_instant(inspection.date + "T12:00:00Z")) {
            planned.as_of = *day;
            planned.as_of_by = "the date of the report";
        }
    if (last_entry <= planned.as_of) return;
    planned.as_of = last_entry;
    planned.as_of_by = "the day of the last entry in the log";
}

Result<std::optional<Instant>> haul_out_of(const std::string& typed, Instant as_of) {
    if (typed.empty()) return std::optional<Instant>{};
    const auto at = day_from(typed, "--haul-out");
    if (!at) return at.error();
    if (*at < as_of - std::chrono::days{1})
        return Error{ErrorCode::wrong_usage,
                     fmt::format("{} is over on {}, the day that the report reckons from", typed,
                                 day_text(as_of)),
                     "--haul-out", "Give the day of one that is planned"};
    return std::optional(*at);
}

std::string what_text(const AnodeEntryRow& row, std::span<const AnodeEntryRow> rows) {
    std::string text = row.kind == name_of(AnodeEntryKind::estimated) ? "judged by eye" : row.kind;
    text += fmt::format(": {}{}{:g} kg", row.alloy, row.alloy.empty() ? "" : ", ", row.mass_kg);
    if (!row.text.empty()) text += ", " + row.text;
    for (const AnodeEntryRow& each : rows)
        if (each.kind == name_of(AnodeEntryKind::strike) && each.about == row.number)
            text += fmt::format("; struck by {} on {}, does not count: {}", each.author,
                                day_text(each.written_at), each.text);
    return text;
}

/// In the log of one boat, where each place has one anode. What was weighed at the very time of a
/// fitting was the one before.
bool is_about(const AnodeEntryRow& row, const FittedAnode& anode) {
    if (row.place != anode.place) return false;
    return row.at > anode.fitted ||
           (row.at == anode.fitted && row.kind == name_of(AnodeEntryKind::fitted));
}

std::vector<AnodeLogFact> facts_of_log(const AnodeDocument& log) {
    std::vector<AnodeLogFact> facts;
    for (const LoggedAnode& anode : anodes_in(log.entries, anodes_name).value())
        for (const AnodeEntryRow& row : log.entries)
            if (row.kind != name_of(AnodeEntryKind::strike) && is_about(row, anode.anode))
                facts.push_back({day_text(row.at), row.place, what_text(row, log.entries),
                                 fmt::format("{}, {}", row.author, day_text(row.written_at))});
    return facts;
}

std::size_t counted(const AnodeDocument& log) {
    return log.entries.size() -
           static_cast<std::size_t>(std::ranges::count(log.entries, name_of(AnodeEntryKind::strike),
                                                       &AnodeEntryRow::kind));
}

/// Those that were weighed, first what is due first.
std::vector<const PlannedAnode*> weighed_by_urgency(const AnodePlan& plan) {
    std::vector<const PlannedAnode*> weighed;
    for (const PlannedAnode& each : plan.anodes)
        if (each.wear) weighed.push_back(&each);
    std::ranges::stable_sort(weighed, {}, [](const PlannedAnode* each) {
        return each->wear->renew_from.value_or(Instant::max());
    });
    return weighed;
}

} // namespace

Result<std::optional<PlannedLog>> planned_log(const ReportOptions& options,
                                              const ReportGrounds& grounds, const Boat& boat,
                                              std::optional<HullReading> reading, Instant last) {
    const auto logged = anodes_in(
        grounds.anodes ? grounds.anodes->entries : std::vector<AnodeEntryRow>(), anodes_name);
    if (!logged) return logged.error();
    if (logged->empty()) { // there is no log, or every fitting is struck
        if (options.haul_out.empty()) return std::optional<PlannedLog>{};
        return Error{ErrorCode::wrong_usage, "no anode is known to last until a haul-out",
                     "--haul-out", "Leave it out, or enter the anodes: quaycell anodes fitted"};
    }
    std::vector<FittedAnode> anodes;
    for (const LoggedAnode& each : *logged)
        anodes.push_back(each.anode);
    PlannedLog planned{*grounds.anodes, {}, {}, ""};
    state_day(planned, grounds.inspection, last, last_known(anodes));
    const auto haul_out = haul_out_of(options.haul_out, planned.as_of);
    if (!haul_out) return haul_out.error();
    auto plan = plan_anodes(anodes, {{boat.hull, boat.metals, boat.water.salinity_psu},
                                     std::move(reading),
                                     planned.as_of,
                                     *haul_out,
                                     usually_renewed_at_gone});
    if (!plan) return plan.error();
    planned.plan = std::move(*plan);
    return std::optional(std::move(planned));
}

std::string anode_log_words(const ReportGrounds& grounds, const TraceOrigin& origin) {
    if (grounds.anodes) {
        const AnodeDocument& log = *grounds.anodes;
        const auto unnamed = std::ranges::count(log.entries, "", &AnodeEntryRow::boat);
        return fmt::format("goes with this report, {} entr{}{}", log.entries.size(),
                           log.entries.size() == 1 ? "y" : "ies",
                           log.boat.empty() || unnamed == 0
                               ? std::string()
                               : fmt::format(", {} of which name no boat", unnamed));
    }
    return origin.is_archive ? "none: the archive holds none of this boat"
                             : "none: the readings come from a file, without an archive";
}

ReportedAnodes reported(const PlannedLog& planned, double width_mm, const TextWidth& text_width) {
    ReportedAnodes anodes{
        planned.plan, facts_of_log(planned.log), 0, planned.as_of, planned.as_of_by, {}, 0};
    anodes.other_entries = counted(planned.log) - anodes.log.size();
    const double renew_at_gone = planned.plan.grounds.renew_at_gone;
    for (const PlannedAnode* each : weighed_by_urgency(planned.plan)) {
        if (anodes.charts.size() == most_charts) {
            ++anodes.not_drawn;
            continue;
        }
        anodes.charts.push_back(
            draw_wear(wear_figure(each->anode, *each->wear, renew_at_gone, planned.as_of), width_mm,
                      text_width));
    }
    return anodes;
}

Attachment computed_of(const PlannedLog& planned) {
    json::array wear;
    for (const PlannedAnode& each : planned.plan.anodes) {
        json::object entry{{"place", each.anode.place}, {"wear", nullptr}};
        if (each.wear) entry["wear"] = wear_json(*each.wear, each.anode.alloy, planned.as_of);
        wear.push_back(std::move(entry));
    }
    return described(anodes_judgement_name,
                     to_document(json::object{{"as_of", to_text(planned.as_of)},
                                              {"anodes", wear},
                                              {"plan", plan_json(planned.plan)}}));
}

} // namespace quaycell
