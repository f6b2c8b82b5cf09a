// quaycell convert: a potential from one reference scale to another.
#include "base/rounding.h"
#include "cli/command.h"
#include "electrode/conversion_parts.h"
#include "judging/budget_text.h"
#include "judging/json_text.h"
#include "judging/options.h"
#include "judging/water_json.h"

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
    std::string activity = default_activity_name;
    std::string budget_file;
    bool explain = false;
    bool as_json = false;
};

struct Conversion {
    Scale from;
    double from_mv;
    Scale to;
    double to_mv;
    std::vector<ConversionPart> corrections;
    Budget budget;
    Water water;
};

Result<Conversion> convert(const Options& options) {
    const auto potential_mv = potential_from(options.potential, "");
    if (!potential_mv) return potential_mv.error();
    const auto from = scale_named(options.from);
    if (!from) return from.error();
    const auto to = scale_named(options.to);
    if (!to) return to.error();
    const auto terms = load_budget_terms(GivenFile{options.budget_file, {}});
    if (!terms) return terms.error();
    const auto water = water_from(options.water);
    if (!water) return water.error();
    const auto constants =
        options.constants == "handbook" ? Constants::handbook : Constants::computed;
    const auto activity = activity_named(options.activity);
    const auto to_mv = convert_mv(*potential_mv, *from, *to, *water, constants, activity);
    if (!to_mv) return to_mv.error();
    const auto parts = conversion_parts(*from, *to, *water, constants, activity);
    if (!parts) return parts.error();
    const auto budget = conversion_budget(*from, *to, *water, *terms);
    if (!budget) return budget.error();
    return Conversion{*from, *potential_mv, *to, *to_mv, *parts, *budget, *water};
}

json::array corrections_json(const std::vector<ConversionPart>& corrections) {
    json::array parts;
    for (const ConversionPart& part : corrections)
        parts.push_back(
            {{"name", part.name}, {"added_mv", rounded(part.added_mv, 3)}, {"why", part.why}});
    return parts;
}

void print_json(const Conversion& conversion, const Options& options) {
    json::object document{
        {"from",
         {{"scale", name_of(conversion.from)}, {"potential_mv", rounded(conversion.from_mv, 3)}}},
        {"to",
         {{"scale", name_of(conversion.to)},
          {"potential_mv", rounded(conversion.to_mv, 2)},
          {"expanded_uncertainty_mv", rounded(conversion.budget.expanded_mv(), 2)}}},
        {"corrections", corrections_json(conversion.corrections)},
        {"constants", options.constants},
        {"activity", options.activity},
        {"water", to_json(conversion.water)},
        {"assumed", assumed_json(conversion.water)}};
    if (options.explain) document["budget"] = budget_json(conversion.budget);
    std::cout << to_document(document);
}

void print_words(const Conversion& conversion, const Options& options) {
    const double expanded_mv = conversion.budget.expanded_mv();
    std::cout << fmt::format("{:.1f} mV on {} is {} mV on {}, {}\n", conversion.from_mv,
                             name_of(conversion.from),
                             rounded_text(conversion.to_mv, told_decimals_mv(expanded_mv)),
                             name_of(conversion.to), uncertainty_text(expanded_mv));
    for (const ConversionPart& part : conversion.corrections)
        std::cout << fmt::format("  {:<12}{:+8.1f} mV  {}\n", part.name, part.added_mv, part.why);
    if (options.explain) std::cout << budget_text(conversion.budget);
    std::cerr << "water: " << to_text(conversion.water) << '\n';
    for (const std::string& assumption : conversion.water.assumed)
        std::cerr << "assumed: " << assumption << '\n';
}

Outcome run(const Options& options) {
    const auto conversion = convert(options);
    if (!conversion) return conversion.error();
    if (options.as_json)
        print_json(*conversion, options);
    else
        print_words(*conversion, options);
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
                     "computed: isothermal, at the water's temperature; or handbook: the rounded "
                     "constants of the standards")
        ->type_name("")
        ->check(CLI::IsMember({"computed", "handbook"}));
    add_activity_option(*command, options->activity);
    add_budget_option(*command, options->budget_file);
    command->add_flag("--explain", options->explain, "What the uncertainty is made of");
    command->add_flag("--json", options->as_json, "One JSON document");
    command->footer(
        "`quaycell scales` lists the scales. All are taken at the water's temperature.\n"
        "Convert readings, not the limits of standards: those print a limit for each\n"
        "scale with roundings of their own, -850 mV on cse beside -800 mV on\n"
        "agcl/seawater where the conversion gives -867 mV.\n\n"
        "Examples:\n"
        "  quaycell convert -800 --from agcl/seawater --to she --temperature 25\n"
        "  quaycell convert -0.85V --from cse --to agcl/seawater\n"
        "  quaycell convert -960 --from agcl/open --to agcl/seawater --salinity 12");
    command->callback([options, &action] { action = [options] { return run(*options); }; });
}

} // namespace quaycell
