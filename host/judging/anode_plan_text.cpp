#include "judging/anode_plan_text.h"

#include "diagnosis/anode_words.h"

#include <boost/json.hpp>
#include <fmt/format.h>

namespace quaycell {

namespace {

namespace json = boost::json;

std::string buying_text(const AnodePlan& plan) {
    std::string text = "to buy\n";
    const auto list = purchases(plan);
    for (const PlannedPurchase& each : list) {
        text += fmt::format("[ ] {}: {}; {}\n", each.place, each.what, each.when);
        if (!each.why.empty()) text += fmt::format("    {}\n", each.why);
        if (!each.limit.empty()) text += fmt::format("    mind: {}\n", each.limit);
    }
    if (list.empty()) text += "nothing\n";
    return text;
}

std::string looking_text(const AnodePlan& plan) {
    std::string text = "\nto look at\n";
    for (const auto& [places, finding] : findings(plan))
        text += fmt::format("[ ] {}: {}{}{}\n", places, finding_text(finding),
                            finding.caution.empty() ? "" : " CAUTION: ", finding.caution);
    for (const PlannedLook& each : looks(plan))
        text += fmt::format("[ ] {}: {}\n", each.places, each.what);
    return text;
}

json::object finding_json(const AnodeFinding& finding) {
    return {{"id", finding.id},           {"what", finding.what},     {"test", finding.test},
            {"caution", finding.caution}, {"source", finding.source}, {"status", finding.status}};
}

json::object anode_json(const PlannedAnode& planned, const PlanGrounds& grounds) {
    json::array findings;
    for (const AnodeFinding& finding : planned.findings)
        findings.push_back(finding_json(finding));
    json::object entry{{"place", planned.anode.place},
                       {"fitted_alloy", name_of(planned.anode.alloy)},
                       {"buy", nullptr},
                       {"mass_kg", planned.mass_kg},
                       {"why_other", planned.why_other},
                       {"why_not", planned.why_not},
                       {"take_off", planned.take_off},
                       {"renew_from", nullptr},
                       {"renew_to", nullptr},
                       {"at_haul_out", nullptr},
                       {"findings", findings}};
    if (planned.why_not.empty()) entry["buy"] = name_of(planned.buy);
    if (planned.wear) {
        entry["renew_from"] = day_json(planned.wear->renew_from);
        entry["renew_to"] = day_json(planned.wear->renew_to);
        if (grounds.haul_out)
            entry["at_haul_out"] = name_of(lasts_until(*planned.wear, *grounds.haul_out));
    }
    return entry;
}

} // namespace

json::value day_json(const std::optional<Instant>& at) {
    return at ? json::value(to_text(*at)) : json::value(nullptr);
}

std::string plan_text(const AnodePlan& plan) {
    std::string text = reading_text(plan.grounds.reading) + '\n';
    for (const std::string& caution : plan.cautions)
        text += "CAUTION: " + caution + '\n';
    return text + '\n' + buying_text(plan) + looking_text(plan);
}

json::object plan_json(const AnodePlan& plan) {
    json::array anodes;
    for (const PlannedAnode& each : plan.anodes)
        anodes.push_back(anode_json(each, plan.grounds));
    json::value verdict;
    if (plan.grounds.reading) verdict = name_of(plan.grounds.reading->verdict);
    return {{"verdict", verdict},
            {"anodes", anodes},
            {"haul_out", day_json(plan.grounds.haul_out)},
            {"cautions", json::array(plan.cautions.begin(), plan.cautions.end())}};
}

} // namespace quaycell
