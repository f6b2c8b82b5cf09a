// quaycell judge: one reading or a trace, against the criteria for the hull.
#include "base/rounding.h"
#include "cli/command.h"
#include "diagnosis/next_to_nothing.h"
#include "dossier/figure.h"
#include "judging/budget_text.h"
#include "judging/json_text.h"
#include "judging/judgement_text.h"
#include "judging/water_json.h"
#include "judging/zone_from.h"

#include <boost/json.hpp>
#include <chrono>
#include <CLI/CLI.hpp>
#include <cmath>
#include <fmt/format.h>
#include <iostream>

namespace quaycell {

namespace {

struct Options {
    std::string potential;
    TraceOptions trace;
    BoatOptions boat;
    std::optional<double> uncertainty_mv;
    double worst_share_percent = default_worst_share * 100;
    double readings = 1;
    std::string zone = "UTC";
    bool explain = false;
    bool print_default_budget = false;
    bool as_json = false;
};

Outcome judge_reading(const Options& options) {
    const auto potential_mv = potential_from(options.potential, "--potential");
    if (!potential_mv) return potential_mv.error();
    const auto boat = boat_from(options.boat);
    if (!boat) return boat.error();
    auto rules = rules_of(*boat);
    if (!rules) return rules.error();
    if (options.uncertainty_mv) set_shift_uncertainty(*rules, *options.uncertainty_mv);
    const auto offset = standard_offset(boat->cell_scale, boat->water);
    if (!offset) return offset.error();
    const Instant now = clock_now();
    const auto one_reading = reading_budget(boat->cell_scale, boat->water,
                                            cell_check_of(*boat, now, now), boat->budget_terms);
    if (!one_reading) return one_reading.error();
    const Budget budget = one_reading->of_mean(options.readings);

    const Judgement judgement =
        judge(*rules, *potential_mv + offset->offset_mv,
              options.uncertainty_mv ? Spread(*options.uncertainty_mv) : budget.spread());
    std::vector<std::string> reasons;
    if (offset->note) reasons.push_back(*offset->note);
    if (auto why = next_to_nothing(*potential_mv, boat->cell_scale))
        reasons.push_back(std::move(*why));
    if (options.as_json) {
        auto object = judgement_json(judgement, *boat, reasons);
        if (options.explain) object["budget"] = budget_json(budget);
        std::cout << to_document(object);
    } else {
        std::cout << fmt::format("verdict: {}\n", name_of(judgement.verdict));
        std::cout << fmt::format("potential: {:.1f} mV on {} is {} mV on agcl/seawater, {}\n",
                                 *potential_mv, name_of(boat->cell_scale),
                                 rounded_text(judgement.potential_mv,
                                              told_decimals_mv(judgement.expanded_uncertainty_mv)),
                                 uncertainty_text(judgement.expanded_uncertainty_mv));
        std::cout << criteria_text(judgement, *boat, reasons);
        if (options.explain) std::cout << budget_text(budget);
        std::cerr << footing_text(judgement, *boat);
    }
    return Done{};
}

Outcome judge_whole_trace(const Options& options) {
    const auto worst_share = worst_share_from(options.worst_share_percent);
    if (!worst_share) return worst_share.error();
    const auto judged = load_and_judge(options.trace, options.boat,
                                       {*worst_share, options.uncertainty_mv, clock_now()});
    if (!judged) return judged.error();
    const auto zone = zone_of(options.zone, judged->trace);
    if (!zone) return zone.error();
    const auto budget = budget_of_trace(*judged);
    if (options.explain && !budget) return budget.error();
    if (options.as_json) {
        auto object = trace_judgement_json(*judged);
        if (options.explain) object["budget"] = budget_json(*budget);
        std::cout << to_document(object);
    } else {
        const std::string text = trace_text(*judged) + criteria_text(*judged);
        std::cout << (options.zone == Zone().name() ? text : with_times_in(text, *zone));
        if (options.explain)
            std::cout << "In " << to_text(judged->boat.water) << ":\n" << budget_text(*budget);
        std::cerr << footing_text(*judged);
    }
    return Done{};
}

Outcome run(const Options& options) {
    if (options.print_default_budget) {
        std::cout << default_budget_file();
        return Done{};
    }
    if (auto error = not_finite("--uncertainty", options.uncertainty_mv)) return *error;
    if (options.uncertainty_mv && *options.uncertainty_mv < 0)
        return Error{ErrorCode::wrong_usage, "an uncertainty cannot be negative", "--uncertainty",
                     ""};
    const bool has_trace = !options.trace.trace_file.empty() || !options.trace.archive_file.empty();
    if (options.potential.empty() == !has_trace)
        return Error{ErrorCode::wrong_usage, "one thing has to be judged", "",
                     "Give --potential V, --trace FILE.csv or --archive FILE, one of them."};
    return has_trace ? judge_whole_trace(options) : judge_reading(options);
}

} // namespace

void add_judge(CLI::App& program, Action& action) {
    const auto options = std::make_shared<Options>();
    CLI::App* command =
        program.add_subcommand("judge", "Is the metal protected? One reading or a whole trace");
    CLI::Option* potential =
        command
            ->add_option("--potential", options->potential,
                         "One reading: -870, -870mV or -0.87V; negative for a protected hull")
            ->type_name("V");
    add_trace_options(*command, options->trace);
    add_boat_options(*command, options->boat);
    CLI::Option* uncertainty =
        command
            ->add_option("--uncertainty", options->uncertainty_mv,
                         "Expanded uncertainty (k = 2) of each reading, and of its change from a "
                         "baseline, mV, in place of the budget")
            ->type_name("MV");
    command
        ->add_option("--readings", options->readings,
                     "The potential is the mean of so many readings: random errors shrink, "
                     "systematic ones do not")
        ->type_name("N")
        ->check(CLI::Range(1, 1000))
        ->needs(potential);
    add_zone_option(*command, options->zone);
    command->get_option("--zone")->excludes(potential);
    command->add_flag("--explain", options->explain, "What the uncertainty is made of")
        ->excludes(uncertainty);
    command->add_flag("--default-budget", options->print_default_budget,
                      "Only print the built-in budget file, to start one's own from");
    add_worst_share_option(*command, options->worst_share_percent)->excludes(potential);
    command->add_flag("--json", options->as_json, "One JSON document");
    command->footer("JSON is in UTC, whatever --zone says.\n\nExamples:\n"
                    "  quaycell judge --potential -870 --hull aluminium --temperature 12\n"
                    "  quaycell judge --potential -0.61V --hull grp --scale cse --salinity 30\n"
                    "  quaycell judge --trace week.csv --vessel tern.toml --zone Europe/Amsterdam\n"
                    "  quaycell judge --archive tern.quaycell --vessel tern.toml --json");
    command->callback([options, &action] { action = [options] { return run(*options); }; });
}

} // namespace quaycell
