#include "judging/anode_plan.h"

#include <algorithm>
#include <boost/json.hpp>
#include <fmt/format.h>

namespace quaycell {

namespace {

namespace json = boost::json;

/// The known place that the log's own words begin with.
std::optional<AnodePlace> known_place(std::string_view words) {
    for (const AnodePlace& place : all_anode_places())
        if (words.starts_with(place.name)) return place;
    return std::nullopt;
}

/// The worst that is said of an alloy.
std::string worst_reason(const AlloyChoice& choice) {
    const auto worst = std::ranges::max_element(
        choice.reasons, {}, [](const AlloyReason* reason) { return reason->fitness; });
    return worst == choice.reasons.end() ? std::string() : std::string((*worst)->text);
}

PlannedAnode planned(const LoggedAnode& logged, const std::vector<AlloyChoice>& choices) {
    PlannedAnode anode{logged,
                       {},
                       logged.anode.alloy,
                       logged.anode.new_mass_kg,
                       "",
                       known_place(logged.anode.place),
                       {}};
    const auto fitted = std::ranges::find(choices, logged.anode.alloy, &AlloyChoice::alloy);
    if (fitted->fitness >= Fitness::useless) {
        anode.buy = choices.front().alloy;
        anode.mass_kg *= facts_of(anode.buy).density_kg_m3 / facts_of(fitted->alloy).density_kg_m3;
        anode.why_other = worst_reason(*fitted);
    }
    return anode;
}

/// Whether it has to be renewed at the haul-out, or before.
std::string at_haul_out(const PlannedAnode& anode, const std::optional<Instant>& haul_out) {
    if (!haul_out || !anode.wear) return "";
    switch (lasts_until(*anode.wear, *haul_out)) {
    case Lasting::yes:
        return fmt::format("; lasts to the haul-out of {}: weigh it there", day_text(*haul_out));
    case Lasting::perhaps:
        return fmt::format("; may be due before the haul-out of {}: have it with you",
                           day_text(*haul_out));
    case Lasting::no:
        return fmt::format("; due before the haul-out of {}: bring that forward, or renew it where "
                           "it can be reached",
                           day_text(*haul_out));
    }
    return "";
}

json::value day_json(const std::optional<Instant>& at) {
    return at ? json::value(to_text(*at)) : json::value(nullptr);
}

} // namespace

Result<AnodePlan> plan_anodes(const std::vector<LoggedAnode>& anodes, const Boat& boat,
                              std::optional<HullReading> reading, double renew_at_gone) {
    const auto choices = choose_alloy({boat.hull, boat.metals, boat.water.salinity_psu}, {});
    AnodePlan plan{{}, std::move(reading)};
    for (const LoggedAnode& each : anodes) {
        PlannedAnode anode = planned(each, choices);
        const auto wear = wear_of(each.anode, renew_at_gone);
        if (!wear && wear.error().code != ErrorCode::not_found) return wear.error();
        if (wear) anode.wear = *wear;
        const bool is_seen = !anode.place || anode.place->seen_by_hull_cell;
        if (wear && plan.reading && is_seen)
            anode.findings = anode_findings(
                {pace_of(*wear, renew_at_gone, each.anode.fitted, each.anode.seen.back().at),
                 plan.reading->verdict, plan.reading->plugged,
                 each.anode.alloy == Alloy::magnesium});
        plan.anodes.push_back(std::move(anode));
    }
    return plan;
}

std::string day_text(Instant at) {
    return to_text(at).substr(0, std::string_view("2026-05-01").size());
}

std::string due_text(const Wear& wear, double renew_at_gone) {
    const double percent = 100 * renew_at_gone;
    if (wear.is_due) return fmt::format("it is due: {:g} % and more are gone", percent);
    if (!wear.renew_from) return "nothing shows when it will have to be renewed";
    if (!wear.renew_to)
        return fmt::format("{:g} % may be gone from {} on, or much later", percent,
                           day_text(*wear.renew_from));
    return fmt::format("{:g} % are gone between {} and {}", percent, day_text(*wear.renew_from),
                       day_text(*wear.renew_to));
}

std::string_view name_of(Lasting lasting) {
    constexpr std::string_view words[] = {"lasts", "may not last", "does not last"};
    return words[static_cast<std::size_t>(lasting)];
}

std::string plan_text(const AnodePlan& plan, const std::optional<Instant>& haul_out,
                      double renew_at_gone) {
    std::string text = plan.reading
                           ? fmt::format("the hull reads {} ({})\n\n",
                                         name_of(plan.reading->verdict), plan.reading->period)
                           : std::string("no trace tells how the hull reads\n\n");
    text += "to buy\n";
    for (const PlannedAnode& each : plan.anodes) {
        const FittedAnode& anode = each.logged.anode;
        text += fmt::format("[ ] {}: {}, {:.2g} kg; {}{}\n", anode.place, name_of(each.buy),
                            each.mass_kg,
                            each.wear ? due_text(*each.wear, renew_at_gone)
                                      : std::string("nobody has weighed it since it was fitted"),
                            at_haul_out(each, haul_out));
        if (!each.why_other.empty())
            text += fmt::format(
                "    in its size, in place of {}: {} All anodes of one bonding of one alloy.\n",
                name_of(anode.alloy), each.why_other);
        if (each.place) text += fmt::format("    its size: {}\n", each.place->limit);
    }
    text += "\nto look at\n";
    for (const PlannedAnode& each : plan.anodes) {
        for (const AnodeFinding& finding : each.findings)
            text += fmt::format("[ ] {}: {}{}{}{}{} ({}; {})\n", each.logged.anode.place,
                                finding.what, finding.test.empty() ? "" : " ", finding.test,
                                finding.caution.empty() ? "" : " CAUTION: ", finding.caution,
                                finding.source, finding.status);
        if (each.place)
            text += fmt::format("[ ] {}: {}\n", each.logged.anode.place, each.place->look);
    }
    text += "[ ] weigh each anode, cleaned and dry, and write it down (anodes weighed)\n";
    for (const AnodePlace& place : all_anode_places())
        if (!place.seen_by_hull_cell) text += fmt::format("[ ] {}: {}\n", place.name, place.look);
    return text;
}

json::object plan_json(const AnodePlan& plan, const std::optional<Instant>& haul_out) {
    json::array anodes;
    for (const PlannedAnode& each : plan.anodes) {
        json::array findings;
        for (const AnodeFinding& finding : each.findings)
            findings.push_back({{"id", finding.id},
                                {"what", finding.what},
                                {"test", finding.test},
                                {"caution", finding.caution},
                                {"source", finding.source},
                                {"status", finding.status}});
        json::object entry{{"place", each.logged.anode.place},
                           {"fitted_alloy", name_of(each.logged.anode.alloy)},
                           {"buy", name_of(each.buy)},
                           {"mass_kg", each.mass_kg},
                           {"why_other", each.why_other},
                           {"renew_from", nullptr},
                           {"renew_to", nullptr},
                           {"at_haul_out", nullptr},
                           {"findings", findings}};
        if (each.wear) {
            entry["renew_from"] = day_json(each.wear->renew_from);
            entry["renew_to"] = day_json(each.wear->renew_to);
            if (haul_out) entry["at_haul_out"] = name_of(lasts_until(*each.wear, *haul_out));
        }
        anodes.push_back(std::move(entry));
    }
    json::value verdict;
    if (plan.reading) verdict = name_of(plan.reading->verdict);
    return {{"verdict", verdict}, {"anodes", anodes}, {"haul_out", day_json(haul_out)}};
}

} // namespace quaycell
