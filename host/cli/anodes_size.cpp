// quaycell anodes size: how much anode a hull or a fitting takes.
#include "anode/choice.h"
#include "anode/sizing.h"
#include "cli/anodes.h"
#include "electrode/salinity.h"
#include "judging/amount.h"
#include "judging/json_text.h"
#include "judging/size_grounds.h"
#include "judging/water_json.h"

#include <boost/json.hpp>
#include <CLI/CLI.hpp>
#include <fmt/format.h>
#include <iostream>

namespace quaycell {

namespace {

namespace json = boost::json;

json::object sizing_json(const Sizing& sizing) {
    return {{"current_a",
             {{"initial", amount_json(sizing.current_a.initial)},
              {"mean", amount_json(sizing.current_a.mean)},
              {"final", amount_json(sizing.current_a.final)}}},
            {"mass_kg", amount_json(sizing.mass_kg)},
            {"resistance_ohm",
             {{"initial", amount_json(sizing.resistance_ohm)},
              {"final", amount_json(sizing.spent_resistance_ohm)}}},
            {"anode_current_a",
             {{"initial", amount_json(sizing.anode_current_a)},
              {"final", amount_json(sizing.spent_anode_current_a)}}},
            {"count",
             {{"by_mass", amount_json(sizing.count_by_mass)},
              {"by_initial_current", amount_json(sizing.count_by_initial_current)},
              {"by_final_current", amount_json(sizing.count_by_final_current)},
              {"needed", amount_json(sizing.needed)}}},
            {"life_years", amount_json(sizing.life_years)},
            {"renewed_at_half_gone",
             {{"life_years", amount_json(sizing.life_to_renewal_years)},
              {"needed", amount_json(sizing.needed_to_renewal)}}}};
}

std::string whole_text(Range count) {
    return count.low == count.high ? fmt::format("{:g}", count.low)
                                   : fmt::format("{:g} to {:g}", count.low, count.high);
}

void print_words(const Sizing& sizing, const SizingGrounds& grounds) {
    const auto& use = grounds.use;
    std::cout << fmt::format(
        "the metal takes {} A at first, {} A on average, {} A in the end\n"
        "over {:g} years that is {} kg of {}, of which {:.0f} % can be used\n"
        "one anode of {:g} kg ({}): {} ohm, {} A new; {} ohm, {} A when spent\n"
        "anodes by mass {}, by the first current {}, by the last {}: needed, rounded up, {}\n"
        "{:g} of them last {} years at the average current\n",
        amount_text(sizing.current_a.initial), amount_text(sizing.current_a.mean),
        amount_text(sizing.current_a.final), use.years, amount_text(sizing.mass_kg),
        name_of(grounds.alloy), use.utilisation * 100, use.mass_kg, name_of(form_of(use.shape)),
        amount_text(sizing.resistance_ohm), amount_text(sizing.anode_current_a),
        amount_text(sizing.spent_resistance_ohm), amount_text(sizing.spent_anode_current_a),
        amount_text(sizing.count_by_mass), amount_text(sizing.count_by_initial_current),
        amount_text(sizing.count_by_final_current), whole_text(sizing.needed), sizing.needed.high,
        amount_text(sizing.life_years));
    std::cout << fmt::format(
        "the code uses {:.0f} % of an anode; who renews at half gone, as anodes wear does, gets {} "
        "years out of {:g}, and takes {} for {:g} years\n",
        use.utilisation * 100, amount_text(sizing.life_to_renewal_years), sizing.needed.high,
        whole_text(sizing.needed_to_renewal), use.years);
    std::cout << "computed from\n";
    for (const std::string& source : grounds.sources)
        std::cout << "  " << source << '\n';
}

Outcome run(const SizeOptions& options, bool as_json) {
    const auto grounds = sizing_grounds(options);
    if (!grounds) return grounds.error();
    const auto sizing = size_anodes(grounds->demand, grounds->use);
    if (!sizing) return sizing.error();
    if (as_json) {
        json::object document = sizing_json(*sizing);
        document["alloy"] = name_of(grounds->alloy);
        document["form"] = name_of(form_of(grounds->use.shape));
        document["sources"] = json::array(grounds->sources.begin(), grounds->sources.end());
        document["warnings"] = json::array(grounds->warnings.begin(), grounds->warnings.end());
        document["assumed"] = json::array(grounds->assumed.begin(), grounds->assumed.end());
        std::cout << to_document(document);
    } else {
        print_words(*sizing, *grounds);
    }
    for (const std::string& assumption : grounds->assumed)
        std::cerr << "assumed: " << assumption << '\n';
    for (const std::string& warning : grounds->warnings)
        std::cerr << "CAUTION: " << warning << '\n';
    std::cerr << anodes_footing << '\n';
    return Done{};
}

} // namespace

void add_anodes_size(CLI::App& anodes, Action& action) {
    const auto options = std::make_shared<SizeOptions>();
    const auto as_json = std::make_shared<bool>(false);
    CLI::App* command =
        anodes.add_subcommand("size", "How many anodes, of which mass, for how long");
    add_size_options(*command, *options);
    command->add_flag("--json", *as_json, "One JSON document");
    command->footer(
        "Amounts may be ranges, 15-25; what comes of them is one, too. Counts are compared "
        "unrounded, and what is\nneeded is rounded up. Of a grp or wooden boat only the immersed "
        "metal counts: a hull by its measures is refused.\n\n"
        "Examples:\n"
        "  a coated steel hull of 11 m by rule of thumb, docked every 18 months:\n"
        "  quaycell anodes size --hull steel --waterline-m 11 --beam-m 3.8 --draught-m 1.5 --form "
        "full --docking-months 18 \\\n"
        "      --years 1.5 --alloy aluminium --mass-kg 2.3 --length-m 0.30 --width-m 0.15 "
        "--thickness-m 0.04 --shape flush\n"
        "  a bare bronze propeller of 0.3 m2, for a year:\n"
        "  quaycell anodes size --area-m2 0.3 --current-density-ma-m2 500 --years 1 --alloy zinc "
        "--mass-kg 2.3 \\\n"
        "      --length-m 0.16 --width-m 0.40 --shape bracelet --driving-mv 430\n"
        "  currents known from elsewhere:\n"
        "  quaycell anodes size --current-initial-a 1 --current-mean-a 1 --current-final-a 1 "
        "--years 2 --alloy zinc \\\n"
        "      --mass-kg 5 --length-m 0.4 --width-m 0.1 --shape flush --salinity 35");
    command->callback([options, as_json, &action] {
        action = [options, as_json] { return run(*options, *as_json); };
    });
}

} // namespace quaycell
