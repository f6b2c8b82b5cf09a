// quaycell anodes plan: a list to take along.
#include "archive/archive.h"
#include "cli/anodes.h"
#include "judging/anode_log.h"
#include "judging/anode_plan_text.h"
#include "judging/archive_contents.h"
#include "judging/author.h"
#include "judging/hull_reading.h"
#include "judging/json_text.h"
#include "judging/trace_source.h"

#include <boost/json.hpp>
#include <CLI/CLI.hpp>
#include <fmt/format.h>
#include <iostream>

namespace quaycell {

namespace {

struct Options {
    std::string archive;
    std::string deployments;
    std::string boat_name;
    BoatOptions boat;
    std::string haul_out;
    double renew_at_percent_gone = 100 * usually_renewed_at_gone;
    bool as_json = false;
};

/// Of the boat that is named, else of the vessel file's.
Result<std::vector<FittedAnode>> anodes_of(Archive& archive, const Options& options,
                                           const Boat& boat) {
    const auto rows = archive.anode_entries();
    if (!rows) return rows.error();
    const std::string& whose = options.boat_name.empty() ? boat.name : options.boat_name;
    const auto logged = anodes_in(entries_of_boat(*rows, whose), options.archive);
    if (!logged) return logged.error();
    std::vector<FittedAnode> anodes;
    for (const LoggedAnode& each : *logged)
        anodes.push_back(each.anode);
    if (anodes.empty())
        return Error{
            ErrorCode::not_found,
            fmt::format("the archive knows no anode{}{}", whose.empty() ? "" : " of ", whose),
            options.archive,
            "Enter one: quaycell anodes fitted --archive FILE --place PLACE --alloy "
            "ALLOY --mass-kg KG. quaycell anodes log lists what there is."};
    return anodes;
}

/// Of the trace that the archive holds; nothing where it holds none.
Result<std::optional<HullReading>> reading_of(Archive& archive, const Options& options) {
    const auto entries = entries_of(archive);
    if (!entries) return entries.error();
    if (entries->empty()) return std::optional<HullReading>{};
    TraceOptions source;
    source.archive_file = options.archive;
    source.deployments = options.deployments;
    const auto judged =
        load_and_judge(source, options.boat, {default_worst_share, {}, clock_now()});
    if (!judged) return judged.error();
    return hull_reading(*judged);
}

Outcome run(const Options& options) {
    std::optional<Instant> haul_out;
    if (!options.haul_out.empty()) {
        const auto at = day_to_come(options.haul_out, "--haul-out");
        if (!at) return at.error();
        haul_out = *at;
    }
    const auto boat = boat_for_anodes(options.boat);
    if (!boat) return boat.error();
    auto archive = open_to_read(options.archive);
    if (!archive) return archive.error();
    const auto anodes = anodes_of(*archive, options, *boat);
    if (!anodes) return anodes.error();
    auto reading = reading_of(*archive, options);
    if (!reading) return reading.error();
    const auto plan = plan_anodes(*anodes, {{boat->hull, boat->metals, boat->water.salinity_psu},
                                            std::move(reading).value(),
                                            written_now(),
                                            haul_out,
                                            options.renew_at_percent_gone / 100});
    if (!plan) return plan.error();
    if (options.as_json)
        std::cout << to_document(plan_json(*plan));
    else
        std::cout << plan_text(*plan);
    for (const std::string& assumption : boat->water.assumed)
        std::cerr << "assumed: " << assumption << '\n';
    std::cerr << anodes_footing << '\n';
    return Done{};
}

} // namespace

void add_anodes_plan(CLI::App& anodes, Action& action) {
    const auto options = std::make_shared<Options>();
    CLI::App* command =
        anodes.add_subcommand("plan", "What to buy, by when, and what to look at: a list");
    command->add_option("--archive", options->archive, "Anodes, and the trace of the hull")
        ->type_name("FILE")
        ->required();
    command
        ->add_option("--deployment", options->deployments,
                     "Which of the archive's traces tells how the hull reads; else the newest")
        ->type_name("N");
    command->add_option("--boat", options->boat_name, "Only the anodes of this boat")
        ->type_name("NAME");
    add_hull_options(*command, options->boat);
    command->add_option("--haul-out", options->haul_out, "The next one planned")->type_name("DATE");
    command
        ->add_option("--renew-at-percent-gone", options->renew_at_percent_gone,
                     "When an anode is renewed")
        ->type_name("N")
        ->check(CLI::Range(1.0, 99.0))
        ->capture_default_str();
    command->add_flag("--json", options->as_json, "One JSON document");
    command->footer("Example:\n"
                    "  quaycell anodes plan --archive tern.quaycell --vessel tern.toml --haul-out "
                    "2027-03-20");
    command->callback([options, &action] { action = [options] { return run(*options); }; });
}

} // namespace quaycell
