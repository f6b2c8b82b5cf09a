// quaycell anodes choose: the alloy for a hull in its water, and where anodes sit.
#include "anode/choice.h"
#include "anode/place.h"
#include "cli/anodes.h"
#include "judging/amount.h"
#include "judging/json_text.h"
#include "judging/water_json.h"
#include "protection/rules.h"

#include <algorithm>
#include <boost/json.hpp>
#include <CLI/CLI.hpp>
#include <fmt/format.h>
#include <iostream>

namespace quaycell {

namespace {

namespace json = boost::json;

struct Options {
    BoatOptions boat;
    std::string place;
    bool as_json = false;
};

/// The hull's own band in this water, where one is published.
struct HullBand {
    Band band;
    std::string criterion; ///< its id; empty: none
};

Result<HullBand> hull_band(const Boat& boat) {
    const auto rules = rules_of(boat);
    if (!rules) return rules.error();
    if (rules->no_verdict) return HullBand{};
    const auto own = std::ranges::find_if(rules->rules, &Rule::decides);
    if (own == rules->rules.end()) return HullBand{};
    return HullBand{own->band, own->criterion.id};
}

std::string band_text(const HullBand& hull) {
    if (hull.criterion.empty()) return "no band is published for this hull in this water";
    const auto end = [](std::optional<double> mv) {
        return mv ? fmt::format("{:.0f}", *mv) : std::string("no published limit");
    };
    return fmt::format("the hull's band: {} to {} mV ({})", end(hull.band.protected_from_mv),
                       end(hull.band.over_at_mv), hull.criterion);
}

json::value limit_json(std::optional<double> mv) {
    return mv ? json::value(*mv) : json::value(nullptr);
}

void print_json(const std::vector<AlloyChoice>& choices, const std::vector<AnodePlace>& places,
                const HullBand& hull, const Boat& boat) {
    json::array alloys;
    for (const AlloyChoice& choice : choices) {
        const AlloyFacts& facts = facts_of(choice.alloy);
        json::array reasons;
        for (const AlloyReason* reason : choice.reasons)
            reasons.push_back({{"text", reason->text},
                               {"fitness", name_of(reason->fitness)},
                               {"source", reason->source},
                               {"status", reason->status}});
        alloys.push_back({{"alloy", facts.name},
                          {"fitness", name_of(choice.fitness)},
                          {"closed_circuit_mv",
                           {{"from", facts.closed_circuit_mv.high},
                            {"to", facts.closed_circuit_mv.low},
                            {"scale", name_of(Scale::agcl_seawater)},
                            {"source", facts.potential_source}}},
                          {"capacity_ah_kg", amount_json(facts.capacity_ah_kg)},
                          {"reaches_beyond_band", choice.reaches_beyond_band},
                          {"reasons", reasons}});
    }
    json::array sites;
    for (const AnodePlace& place : places)
        sites.push_back({{"place", place.name},
                         {"form", place.form},
                         {"limit", place.limit},
                         {"look", place.look},
                         {"seen_by_hull_cell", place.seen_by_hull_cell},
                         {"source", place.source},
                         {"status", place.status}});
    std::cout << to_document({{"hull", name_of(boat.hull)},
                              {"band",
                               {{"protected_from_mv", limit_json(hull.band.protected_from_mv)},
                                {"over_at_mv", limit_json(hull.band.over_at_mv)},
                                {"criterion", hull.criterion}}},
                              {"alloys", alloys},
                              {"places", sites},
                              {"water", to_json(boat.water)},
                              {"assumed", assumed_json(boat.water)}});
}

void print_words(const std::vector<AlloyChoice>& choices, const std::vector<AnodePlace>& places,
                 const HullBand& hull, const Boat& boat) {
    std::cout << fmt::format("{} hull in water of {}: {}\n", name_of(boat.hull),
                             to_text(boat.water), band_text(hull));
    for (const AlloyChoice& choice : choices) {
        const AlloyFacts& facts = facts_of(choice.alloy);
        std::cout << fmt::format(
            "\n{}: {}\n  at work {:.0f} to {:.0f} mV on agcl/seawater{}\n", facts.name,
            name_of(choice.fitness), facts.closed_circuit_mv.high, facts.closed_circuit_mv.low,
            choice.reaches_beyond_band ? ": enough of it over-protects this hull" : "");
        for (const AlloyReason* reason : choice.reasons)
            std::cout << fmt::format("  {} ({}; {})\n", reason->text, reason->source,
                                     reason->status);
    }
    std::cout << '\n' << one_alloy_caution << "\n\nwhere they sit, and what limits them\n";
    for (const AnodePlace& place : places)
        std::cout << fmt::format("  {}: {}. Limit: {}. Look: {} ({})\n", place.name, place.form,
                                 place.limit, place.look, place.source);
}

Outcome run(const Options& options) {
    const auto boat = boat_for_anodes(options.boat);
    if (!boat) return boat.error();
    const auto hull = hull_band(*boat);
    if (!hull) return hull.error();
    std::vector<AnodePlace> places(all_anode_places().begin(), all_anode_places().end());
    if (!options.place.empty()) {
        const auto place = anode_place_named(options.place);
        if (!place) return place.error();
        places = {*place};
    }
    const auto choices =
        choose_alloy({boat->hull, boat->metals, boat->water.salinity_psu}, hull->band);
    if (options.as_json)
        print_json(choices, places, *hull, *boat);
    else
        print_words(choices, places, *hull, *boat);
    for (const std::string& assumption : boat->water.assumed)
        std::cerr << "assumed: " << assumption << '\n';
    std::cerr << anodes_footing << '\n';
    return Done{};
}

} // namespace

void add_anodes_choose(CLI::App& anodes, Action& action) {
    const auto options = std::make_shared<Options>();
    CLI::App* command = anodes.add_subcommand("choose", "The alloy for a hull in its water");
    add_hull_options(*command, options->boat);
    command->add_option("--place", options->place, "Tell only of anodes there")->type_name("PLACE");
    command->add_flag("--json", options->as_json, "One JSON document");
    command->footer("Water that changes is a range in the vessel file: salinity_psu = [0.2, 30].\n"
                    "A boat that moves between rivers and the sea needs what serves in both.\n\n"
                    "Examples:\n"
                    "  quaycell anodes choose --hull steel --water sea\n"
                    "  quaycell anodes choose --vessel tern.toml --place rudder");
    command->callback([options, &action] { action = [options] { return run(*options); }; });
}

} // namespace quaycell
