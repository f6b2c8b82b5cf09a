#include "diagnosis/anode_plan.h"

#include "diagnosis/anode_words.h"

#include <algorithm>
#include <fmt/format.h>
#include <fmt/ranges.h>

namespace quaycell {

namespace {

/// Whether it lies in the hull's water. What lies at a place that is not known may.
bool is_seen(const PlannedAnode& planned) {
    return planned.place && planned.place->seen_by_hull_cell;
}
bool may_be_seen(const PlannedAnode& planned) {
    return !planned.place || planned.place->seen_by_hull_cell;
}

const AlloyChoice& choice_of(Alloy alloy, const std::vector<AlloyChoice>& choices) {
    return *std::ranges::find(choices, alloy, &AlloyChoice::alloy);
}

/// The worst that is said of an alloy.
std::string worst_reason(const AlloyChoice& choice) {
    const auto worst = std::ranges::max_element(
        choice.reasons, {}, [](const AlloyReason* reason) { return reason->fitness; });
    return worst == choice.reasons.end() ? std::string() : std::string((*worst)->text);
}

double fitted_kg(Alloy alloy, const std::vector<PlannedAnode>& anodes) {
    double sum_kg = 0;
    for (const PlannedAnode& each : anodes)
        if (is_seen(each) && each.anode.alloy == alloy) sum_kg += each.anode.new_mass_kg;
    return sum_kg;
}

/// Of what lies in one water on one bonding.
std::vector<Alloy> fitted_alloys(const std::vector<PlannedAnode>& anodes) {
    std::vector<Alloy> fitted;
    for (const AlloyFacts& each : all_alloys())
        if (fitted_kg(each.alloy, anodes) > 0) fitted.push_back(each.alloy);
    return fitted;
}

/// The alloy of all that lies in one water on one bonding. Of several that serve alike the one of
/// which most is fitted.
Alloy common_alloy(const std::vector<PlannedAnode>& anodes,
                   const std::vector<AlloyChoice>& choices) {
    const std::vector<Alloy> fitted = fitted_alloys(anodes);
    if (fitted.size() == 1 && choice_of(fitted.front(), choices).fitness < Fitness::useless)
        return fitted.front();
    Alloy best = choices.front().alloy;
    for (const AlloyChoice& choice : choices)
        if (choice.fitness == choices.front().fitness &&
            fitted_kg(choice.alloy, anodes) > fitted_kg(best, anodes))
            best = choice.alloy;
    return best;
}

/// What is fitted in the engine lies in a water of its own, and keeps its alloy where that serves;
/// so does what may be fitted there.
void choose_for(PlannedAnode& planned, Alloy common, const std::vector<AlloyChoice>& choices) {
    const AlloyChoice& fitted = choice_of(planned.anode.alloy, choices);
    planned.take_off = fitted.fitness == Fitness::dangerous;
    const bool is_bad = fitted.fitness >= Fitness::useless;
    if (planned.anode.alloy == common || (!is_seen(planned) && !is_bad)) return;
    planned.buy = common;
    planned.mass_kg *= facts_of(common).density_kg_m3 / facts_of(planned.anode.alloy).density_kg_m3;
    planned.why_other = is_bad ? worst_reason(fitted)
                               : fmt::format("The others are of {}, and two alloys on one bonding "
                                             "use up the more active one for the other.",
                                             name_of(common));
    if (is_seen(planned)) planned.why_other += " All anodes on one bonding are to be of one alloy.";
}

void choose_all(std::vector<PlannedAnode>& anodes, const AnodeSetting& setting) {
    const auto choices = choose_alloy(setting, {});
    const Alloy common = common_alloy(anodes, choices);
    for (PlannedAnode& each : anodes)
        choose_for(each, common, choices);
}

bool reads_over(const PlanGrounds& grounds) {
    return grounds.reading && grounds.reading->verdict == Verdict::over_protected;
}

/// What becomes of a hull that is destroyed by it; empty for others.
std::string_view harm_of_over_protection(Hull hull) {
    switch (hull) {
    case Hull::wood:
        return "the hull is over-protected, which destroys its wood";
    case Hull::aluminium:
        return "the hull is over-protected, and its aluminium dissolves in the alkali that this "
               "makes";
    case Hull::grp_aluminium_drive:
        return "the drive is over-protected, and its aluminium dissolves in the alkali that this "
               "makes";
    case Hull::steel:
    case Hull::grp:
        break;
    }
    return "";
}

/// Why none is to be bought for the haul-out.
std::string why_not(const PlannedAnode& planned, const PlanGrounds& grounds) {
    const std::string_view harm = harm_of_over_protection(grounds.setting.hull);
    if (waits_for_cause(planned, grounds) && !harm.empty())
        return fmt::format("{}{}: fit none before a reading with this one off shows that it is "
                           "needed",
                           planned.take_off ? "take it off as soon as it can be reached: " : "",
                           harm);
    if (!planned.why_other.empty() || !planned.wear || !grounds.haul_out) return "";
    if (lasts_until(*planned.wear, *grounds.haul_out) != Lasting::yes) return "";
    return fmt::format("it lasts to the haul-out of {}", day_text(*grounds.haul_out));
}

/// Readings that begin before it was fitted tell of the one before, too: a twentieth of their time
/// is enough for a verdict.
void read_as_one(PlannedAnode& planned, const PlanGrounds& grounds) {
    const auto& reading = grounds.reading;
    if (!planned.wear || !reading || !is_seen(planned) || reading->from < planned.anode.fitted)
        return;
    const FittedAnode& anode = planned.anode;
    planned.findings = anode_findings(
        {pace_of(*planned.wear, grounds.renew_at_gone, anode.fitted, anode.seen.back().at),
         reading->verdict, anode.alloy == Alloy::magnesium});
}

/// "zinc, aluminium"
std::string names_of(const std::vector<Alloy>& alloys) {
    std::string names;
    for (const Alloy each : alloys)
        names += fmt::format("{}{}", names.empty() ? "" : ", ", name_of(each));
    return names;
}

/// Of anodes at places that are not known; empty where there are none.
std::string unknown_places_text(const std::vector<PlannedAnode>& anodes) {
    std::string places;
    for (const PlannedAnode& each : anodes)
        if (!each.place)
            places += fmt::format("{}\"{}\"", places.empty() ? "" : ", ", each.anode.place);
    if (places.empty()) return "";
    std::vector<std::string_view> names;
    for (const AnodePlace& place : all_anode_places())
        names.push_back(place.name);
    return fmt::format("Not known as a place: {}. Whether it lies in the hull's water or in the "
                       "engine's is not told, so its alloy is changed only where it does not serve "
                       "in this water, and nothing is read from its wear. Strike it and enter it "
                       "with a place that begins with one of {}.",
                       places, fmt::join(names, ", "));
}

std::vector<std::string> cautions_of(const std::vector<PlannedAnode>& anodes,
                                     const PlanGrounds& grounds) {
    std::vector<std::string> cautions;
    if (const auto fitted = fitted_alloys(anodes); fitted.size() > 1)
        cautions.push_back(fmt::format(
            "Several alloys are fitted on one bonding ({}): the more active one is used up for the "
            "others. Make them one. (technicians' posts; transcribed)",
            names_of(fitted)));
    if (auto unknown = unknown_places_text(anodes); !unknown.empty())
        cautions.push_back(std::move(unknown));
    if (grounds.setting.hull == Hull::wood) cautions.emplace_back(wood_caution);
    if (reads_over(grounds))
        cautions.emplace_back("The hull reads over-protected: add no anode, and look for what "
                              "drives it before any is renewed.");
    return cautions;
}

} // namespace

bool waits_for_cause(const PlannedAnode& planned, const PlanGrounds& grounds) {
    return reads_over(grounds) && may_be_seen(planned);
}

Result<AnodePlan> plan_anodes(const std::vector<FittedAnode>& anodes, PlanGrounds grounds) {
    AnodePlan plan{{}, std::move(grounds), {}};
    for (const FittedAnode& anode : anodes) {
        PlannedAnode planned{
            anode, {}, anode_place_in(anode.place), anode.alloy, anode.new_mass_kg, "", false,
            "",    {}};
        const auto wear = wear_of(anode, plan.grounds.renew_at_gone);
        if (!wear && wear.error().code != ErrorCode::not_found) return wear.error();
        if (wear) planned.wear = *wear;
        plan.anodes.push_back(std::move(planned));
    }
    choose_all(plan.anodes, plan.grounds.setting);
    for (PlannedAnode& each : plan.anodes) {
        each.why_not = why_not(each, plan.grounds);
        read_as_one(each, plan.grounds);
    }
    plan.cautions = cautions_of(plan.anodes, plan.grounds);
    return plan;
}

} // namespace quaycell
