#include "diagnosis/anode_words.h"

#include "base/rounding.h"

#include <algorithm>
#include <fmt/format.h>

namespace quaycell {

namespace {

/// Whether it has to be renewed at the haul-out, or before.
std::string at_haul_out(const Wear& wear, const std::optional<Instant>& haul_out) {
    if (!haul_out) return "";
    switch (lasts_until(wear, *haul_out)) {
    case Lasting::yes:
        return fmt::format("; lasts to the haul-out of {}", day_text(*haul_out));
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

/// As it was stated; of another alloy in its size, as closely as densities tell.
std::string mass_text(const PlannedAnode& planned) {
    if (planned.buy == planned.anode.alloy) return fmt::format("{:g}", planned.mass_kg);
    return significant_text(planned.mass_kg, 2);
}

std::string when_text(const PlannedAnode& planned, const PlanGrounds& grounds) {
    std::string when;
    if (planned.take_off)
        when = "take the fitted one off as soon as it can be reached, whatever is left of it";
    if (waits_for_cause(planned, grounds))
        when += fmt::format("{}not before the cause is known: the hull reads over-protected",
                            when.empty() ? "" : "; fit another ");
    if (!when.empty()) return when;
    if (!planned.why_other.empty())
        return grounds.haul_out ? fmt::format("at the haul-out of {} at the latest, whatever is "
                                              "left of the fitted one",
                                              day_text(*grounds.haul_out))
                                : std::string("when it can next be reached, whatever is left of "
                                              "the fitted one");
    if (!planned.wear) return "nobody has weighed it since it was fitted: have one with you";
    return due_text(*planned.wear, grounds.renew_at_gone, grounds.as_of) +
           at_haul_out(*planned.wear, grounds.haul_out);
}

} // namespace

std::string day_text(Instant at) {
    return to_text(at).substr(0, std::string_view("2026-05-01").size());
}

std::string due_text(const Wear& wear, double renew_at_gone, Instant as_of) {
    const double percent = 100 * renew_at_gone;
    if (wear.gone_by)
        return fmt::format("it is gone: nothing was left of it on {}", day_text(*wear.gone_by));
    if (wear.is_due) return fmt::format("it is due: {:g} % and more are gone", percent);
    if (!wear.renew_from) return "nothing shows when it will have to be renewed";
    if (!wear.renew_to)
        return fmt::format("{:g} % may be gone from {} on, or much later", percent,
                           day_text(*wear.renew_from));
    if (*wear.renew_to < as_of)
        return fmt::format("by its line it is due: {:g} % were gone between {} and {}", percent,
                           day_text(*wear.renew_from), day_text(*wear.renew_to));
    return fmt::format("{:g} % are gone between {} and {}", percent, day_text(*wear.renew_from),
                       day_text(*wear.renew_to));
}

std::string_view name_of(Lasting lasting) {
    constexpr std::string_view words[] = {"lasts", "may not last", "does not last"};
    return words[static_cast<std::size_t>(lasting)];
}

std::vector<PlannedPurchase> purchases(const AnodePlan& plan) {
    std::vector<PlannedPurchase> list;
    for (const PlannedAnode& each : plan.anodes) {
        if (!each.why_not.empty()) continue;
        std::string what = fmt::format("{}, {} kg", name_of(each.buy), mass_text(each));
        if (!each.why_other.empty())
            what += fmt::format(", in its size in place of {}", name_of(each.anode.alloy));
        list.push_back({each.anode.place, std::move(what), each.why_other,
                        when_text(each, plan.grounds),
                        each.place ? each.place->limit : std::string_view()});
    }
    return list;
}

std::vector<PlannedFinding> findings(const AnodePlan& plan) {
    std::vector<PlannedFinding> list;
    for (const PlannedAnode& each : plan.anodes)
        for (const AnodeFinding& finding : each.findings) {
            const auto same = std::ranges::find_if(
                list, [&](const PlannedFinding& other) { return other.finding.id == finding.id; });
            if (same == list.end())
                list.push_back({each.anode.place, finding});
            else
                same->places += "; " + each.anode.place;
        }
    return list;
}

std::vector<PlannedLook> looks(const AnodePlan& plan) {
    std::vector<PlannedLook> list;
    const auto add = [&](const std::string& place, std::string what) {
        const auto same = std::ranges::find(list, what, &PlannedLook::what);
        if (same == list.end())
            list.push_back({place, std::move(what)});
        else
            same->places += "; " + place;
    };
    for (const PlannedAnode& each : plan.anodes)
        if (!each.why_not.empty()) add(each.anode.place, each.why_not);
    const auto& reading = plan.grounds.reading;
    for (const PlannedAnode& each : plan.anodes)
        if (each.wear && each.place && each.place->seen_by_hull_cell && reading &&
            reading->from < each.anode.fitted)
            add(each.anode.place, "read the hull anew: the readings begin before it was fitted, so "
                                  "nothing is made of its wear");
    for (const PlannedAnode& each : plan.anodes)
        if (each.place) add(each.anode.place, std::string(each.place->look));
    list.push_back(
        {"all", "weigh each anode, cleaned and dry, and write it down (anodes weighed)"});
    const auto is_listed = [&](const AnodePlace& place) {
        return std::ranges::any_of(plan.anodes, [&](const PlannedAnode& each) {
            return each.place && each.place->name == place.name;
        });
    };
    for (const AnodePlace& place : all_anode_places())
        if (!place.seen_by_hull_cell && !is_listed(place))
            list.push_back(
                {std::string(place.name) + ", where there is one", std::string(place.look)});
    return list;
}

std::string finding_text(const AnodeFinding& finding) {
    return fmt::format("{}{}{} ({}; {})", finding.what, finding.test.empty() ? "" : " ",
                       finding.test, finding.source, finding.status);
}

std::string reading_text(const std::optional<HullReading>& reading) {
    if (!reading) return "no reading tells how the hull is";
    const std::string verdict = reading->verdict == Verdict::no_verdict
                                    ? std::string("no verdict on the hull")
                                    : fmt::format("the hull reads {}", name_of(reading->verdict));
    return fmt::format("{} ({} to {})", verdict, day_text(reading->from), day_text(reading->to));
}

} // namespace quaycell
