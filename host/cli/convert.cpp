// quaycell convert: a potential from one reference scale to another.
#include "cli/command.h"
#include "cli/json_text.h"
#include "cli/options.h"
#include "cli/water_json.h"
#include "electrode/budget.h"
#include "electrode/potential.h"

#include <boost/json.hpp>
#include <CLI/CLI.hpp>
#include <fmt/format.h>
#include <iostream>

namespace quaycell {

namespace {

namespace json = boost::json;

struct Options {
    std::string potential;
    std::string from;
    std::string to;
    WaterOptions water;
    std::string constants = "computed";
    bool as_json = false;
};

struct Conversion {
    Scale from;
    double from_mv;
    Scale to;
    double to_mv;
    double expanded_uncertainty_mv;
    Water water;
};

Result<Conversion> convert(const Options& options) {
    const auto potential_mv = parse_potential_mv(options.potential);
    if (!potential_mv) return potential_mv.error();
    const auto from = scale_named(options.from);
    if (!from) return from.error();
    const auto to = scale_named(options.to);
    if (!to) return to.error();
    const auto water = water_from(options.water);
    if (!water) return water.error();
    const auto constants =
        options.constants == "handbook" ? Constants::handbook : Constants::computed;
    const auto to_mv = convert_mv(*potential_mv, *from, *to, *water, constants);
    if (!to_mv) return to_mv.error();
    const auto budget = conversion_budget(*from, *to, *water);
    if (!budget) return budget.error();
    return Conversion{*from, *potential_mv, *to, *to_mv, budget->expanded_mv(), *water};
}

void print_json(const Conversion& conversion) {
    std::cout << to_document(
        {{"from",
          {{"scale", name_of(conversion.from)}, {"potential_mv", rounded(conversion.from_mv, 3)}}},
         {"to",
          {{"scale", name_of(conversion.to)},
           {"potential_mv", rounded(conversion.to_mv, 2)},
           {"expanded_uncertainty_mv", rounded(conversion.expanded_uncertainty_mv, 2)}}},
         {"water", to_json(conversion.water)},
         {"assumed", assumed_json(conversion.water)}});
}

void print_words(const Conversion& conversion) {
    std::cout << fmt::format("{:.1f} mV on {} is {:.1f} mV on {}, within {:.1f} mV (k = 2)\n",
                             conversion.from_mv, name_of(conversion.from), conversion.to_mv,
                             name_of(conversion.to), conversion.expanded_uncertainty_mv);
    std::cerr << "water: " << to_text(conversion.water) << '\n';
    for (const std::string& assumption : conversion.water.assumed)
        std::cerr << "assumed: " << assumption << '\n';
    if (looks_like_volts(conversion.from_mv))
        std::cerr << "The value was read as millivolts; for volts write for instance -0.87V.\n";
}

Outcome run(const Options& options) {
    const auto conversion = convert(options);
    if (!conversion) return conversion.error();
    if (options.as_json)
        print_json(*conversion);
    else
        print_words(*conversion);
    return Done{};
}

} // namespace

void add_convert(CLI::App& program, Action& action) {
    const auto options = std::make_shared<Options>();
    CLI::App* command =
        program.add_subcommand("convert", "A potential from one reference scale to another");
    command->add_option("potential", options->potential, "-870, -870mV or -0.87V")
        ->type_name("")
        ->required();
    command->add_option("--from", options->from, "Scale it was measured on")
        ->type_name("SCALE")
        ->required();
    command->add_option("--to", options->to, "Scale wanted")->type_name("SCALE")->required();
    add_water_options(*command, options->water);
    command
        ->add_option("--constants", options->constants,
                     "computed, or handbook: the rounded constants of the standards")
        ->type_name("")
        ->check(CLI::IsMember({"computed", "handbook"}));
    command->add_flag("--json", options->as_json, "One JSON document");
    command->footer("Scales: she, agcl/open (bare element in the local water), agcl/seawater,\n"
                    "agcl/kcl-0.1, agcl/kcl-1, agcl/kcl-3, agcl/kcl-3.5, agcl/kcl-sat, sce, cse,\n"
                    "zinc. All are taken at the water's temperature.\n\n"
                    "Examples:\n"
                    "  quaycell convert -800 --from agcl/seawater --to she --temperature 25\n"
                    "  quaycell convert -0.85V --from cse --to agcl/seawater\n"
                    "  quaycell convert -960 --from agcl/open --to agcl/seawater --salinity 12");
    command->callback([options, &action] { action = [options] { return run(*options); }; });
}

} // namespace quaycell
