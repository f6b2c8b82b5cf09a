// quaycell judge: one reading or a trace, against the criteria for the hull.
#include "cli/command.h"
#include "cli/json_text.h"
#include "cli/judgement_text.h"
#include "electrode/potential.h"

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
    bool as_json = false;
};

bool is_digit(char c) {
    return c >= '0' && c <= '9';
}

Outcome judge_reading(const Options& options) {
    const auto potential_mv = parse_potential_mv(options.potential);
    if (!potential_mv) return potential_mv.error();
    if (looks_like_volts(*potential_mv) && is_digit(options.potential.back()))
        return Error{
            ErrorCode::wrong_usage, "as millivolts, that is no potential of a hull",
            "--potential " + options.potential,
            fmt::format("Write {0}V if it is volts, {0}mV if it is not", options.potential)};
    const auto boat = boat_from(options.boat);
    if (!boat) return boat.error();
    const auto rules = rules_of(*boat);
    if (!rules) return rules.error();
    const auto offset = standard_offset(boat->cell_scale, boat->water);
    if (!offset) return offset.error();
    const Instant now =
        std::chrono::time_point_cast<Milliseconds>(std::chrono::system_clock::now());
    const auto budget =
        reading_budget(boat->cell_scale, boat->water, cell_check_of(*boat, now, now));
    if (!budget) return budget.error();

    const Judgement judgement = judge(*rules, *potential_mv + offset->offset_mv,
                                      options.uncertainty_mv.value_or(budget->expanded_mv()));
    std::vector<std::string> reasons;
    if (offset->note) reasons.push_back(*offset->note);
    if (options.as_json) {
        std::cout << to_document(judgement_json(judgement, *boat, reasons));
    } else {
        std::cout << fmt::format("verdict: {}\n", name_of(judgement.verdict));
        std::cout << fmt::format("potential: {:.1f} mV on {} is {:.1f} mV on agcl/seawater, {}\n",
                                 *potential_mv, name_of(boat->cell_scale), judgement.potential_mv,
                                 uncertainty_text(judgement.expanded_uncertainty_mv));
        std::cout << criteria_text(judgement, *boat, reasons);
        std::cerr << footing_text(judgement, *boat);
    }
    return Done{};
}

Outcome judge_whole_trace(const Options& options) {
    const auto worst_share = worst_share_from(options.worst_share_percent);
    if (!worst_share) return worst_share.error();
    const auto judged =
        load_and_judge(options.trace, options.boat, *worst_share, options.uncertainty_mv);
    if (!judged) return judged.error();
    if (options.as_json) {
        auto object = judgement_json(judged->explained, judged->boat, judged->reasons);
        object["verdict"] = name_of(judged->judged.overall);
        object["potential_mv"] = rounded(judged->judged.statistics.median_mv, 1);
        add_trace_keys(object, *judged);
        std::cout << to_document(object);
    } else {
        std::cout << trace_text(*judged)
                  << criteria_text(judged->explained, judged->boat, judged->reasons);
        std::cerr << footing_text(judged->explained, judged->boat);
    }
    return Done{};
}

Outcome run(const Options& options) {
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
    command
        ->add_option("--uncertainty", options->uncertainty_mv,
                     "Expanded uncertainty (k = 2) of each reading, mV, in place of the budget")
        ->type_name("MV");
    add_worst_share_option(*command, options->worst_share_percent)->excludes(potential);
    command->add_flag("--json", options->as_json, "One JSON document");
    command->footer("Examples:\n"
                    "  quaycell judge --potential -870 --hull aluminium --temperature 12\n"
                    "  quaycell judge --potential -0.61V --hull grp --scale cse --salinity 30\n"
                    "  quaycell judge --trace week.csv --vessel tern.toml\n"
                    "  quaycell judge --archive tern.quaycell --vessel tern.toml --json");
    command->callback([options, &action] { action = [options] { return run(*options); }; });
}

} // namespace quaycell
