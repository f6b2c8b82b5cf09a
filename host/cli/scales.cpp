// quaycell scales: every reference scale with what is known of it.
#include "cli/command.h"
#include "electrode/budget.h"
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
    WaterOptions water;
    std::string activity = default_activity_name;
    bool as_json = false;
};

/// A scale in the given water, against SHE at the same temperature.
struct ScaleRow {
    const ScaleFacts& facts;
    double potential_mv;
    double slope_mv_per_k;
    double expanded_uncertainty_mv;
    double handbook_mv;
};

Result<std::vector<ScaleRow>> rows_in(const Water& water, ChlorideActivity activity) {
    std::vector<ScaleRow> rows;
    for (const ScaleFacts& facts : all_scales()) {
        const Scale scale = facts.scale;
        const auto computed_mv = reference_vs_she_mv(scale, water, Constants::computed, activity);
        if (!computed_mv) return computed_mv.error();
        rows.push_back({facts, *computed_mv, *slope_mv_per_k(scale, water, activity),
                        conversion_budget(scale, Scale::she, water)->expanded_mv(),
                        *reference_vs_she_mv(scale, water, Constants::handbook, activity)});
    }
    return rows;
}

void print_json(const std::vector<ScaleRow>& rows, const Water& water, const Options& options) {
    json::array scales;
    for (const ScaleRow& row : rows)
        scales.push_back(
            {{"scale", row.facts.name},
             {"description", row.facts.description},
             {"potential_mv", rounded(row.potential_mv, 2)},
             {"slope_mv_per_k", rounded(row.slope_mv_per_k, 3)},
             {"thermal_slope_mv_per_k",
              rounded(row.slope_mv_per_k + hydrogen_thermal_slope_mv_per_k, 3)},
             {"standard_uncertainty_mv", rounded(row.facts.standard_uncertainty_mv, 2)},
             {"expanded_uncertainty_mv", rounded(row.expanded_uncertainty_mv, 2)},
             {"handbook_mv", rounded(row.handbook_mv, 2)},
             {"source", row.facts.source},
             {"status", row.facts.status}});
    std::cout << to_document({{"scales", scales},
                              {"activity", options.activity},
                              {"water", to_json(water)},
                              {"assumed", assumed_json(water)}});
}

void print_table(const std::vector<ScaleRow>& rows, const Water& water) {
    constexpr std::string_view line = "{:<14}{:>8}{:>9}{:>9}{:>7}{:>9}{:>10}\n";
    std::cout << "Against the standard hydrogen electrode at the same temperature\n"
              << fmt::format(line, "", "mV", "mV/K", "thermal", "u", "U, k=2", "handbook");
    for (const ScaleRow& row : rows)
        std::cout << fmt::format(
            line, row.facts.name, fmt::format("{:.1f}", row.potential_mv),
            fmt::format("{:+.3f}", row.slope_mv_per_k),
            fmt::format("{:+.3f}", row.slope_mv_per_k + hydrogen_thermal_slope_mv_per_k),
            fmt::format("{:.0f}", row.facts.standard_uncertainty_mv),
            fmt::format("{:.1f}", row.expanded_uncertainty_mv),
            fmt::format("{:.1f}", row.handbook_mv));
    std::cout << '\n';
    for (const ScaleRow& row : rows)
        std::cout << fmt::format("{}: {}\n    source: {} ({})\n", row.facts.name,
                                 row.facts.description, row.facts.source, row.facts.status);
    std::cerr << "water: " << to_text(water) << '\n';
    for (const std::string& assumption : water.assumed)
        std::cerr << "assumed: " << assumption << '\n';
}

Outcome run(const Options& options) {
    const auto water = water_from(options.water);
    if (!water) return water.error();
    const auto rows = rows_in(*water, activity_named(options.activity));
    if (!rows) return rows.error();
    if (options.as_json)
        print_json(*rows, *water, options);
    else
        print_table(*rows, *water);
    return Done{};
}

} // namespace

void add_scales(CLI::App& program, Action& action) {
    const auto options = std::make_shared<Options>();
    CLI::App* command = program.add_subcommand(
        "scales", "Every reference scale: potential in this water, slope, uncertainty, source");
    add_water_options(*command, options->water);
    add_activity_option(*command, options->activity);
    command->add_flag("--json", options->as_json, "One JSON document");
    command->footer(
        "mV/K is the isothermal slope, all at one temperature: what conversions use. thermal is\n"
        "that of one warmed cell against another left at 25 degC, the kind that handbooks print\n"
        "for cse. u is the standard uncertainty of the scale itself, U the expanded one (k = 2)\n"
        "of its potential in this water. handbook is the rounded constant of the standards, the\n"
        "same at any temperature; agcl/open has the chloride correction added.\n\n"
        "Examples:\n"
        "  quaycell scales --temperature 12 --salinity 30\n"
        "  quaycell scales --chloride 8 --json");
    command->callback([options, &action] { action = [options] { return run(*options); }; });
}

} // namespace quaycell
