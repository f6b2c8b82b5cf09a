// quaycell criteria: the tables that a reading is judged by, and where they disagree.
#include "cli/command.h"
#include "judging/boat.h"
#include "judging/criteria_text.h"
#include "judging/json_text.h"

#include <algorithm>
#include <boost/json.hpp>
#include <CLI/CLI.hpp>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <iostream>

namespace quaycell {

namespace json = boost::json;

namespace {

struct Options {
    std::string rule_set;
    std::string subject;
    std::string own_file;
    bool as_json = false;
};

/// The rows asked for; shifts and background belong to no set and are left out when one is named.
std::vector<Criterion> rows_asked_for(const std::vector<Criterion>& criteria,
                                      const Options& options) {
    std::vector<Criterion> rows;
    std::ranges::copy_if(criteria, std::back_inserter(rows), [&](const Criterion& c) {
        return (options.rule_set.empty() || c.rule_set == options.rule_set) &&
               (options.subject.empty() || c.subject == options.subject);
    });
    return rows;
}

/// Only those that a row asked for takes part in.
std::vector<Disagreement> disagreements_of(const std::vector<Criterion>& criteria,
                                           const std::vector<Criterion>& rows) {
    std::vector<Disagreement> all = disagreements_in(criteria);
    std::erase_if(all, [&rows](const Disagreement& d) {
        return std::ranges::none_of(d.limits, [&rows](const LimitOfRow& limit) {
            return std::ranges::find(rows, limit.criterion->id, &Criterion::id) != rows.end();
        });
    });
    return all;
}

json::value disagreement_json(const Disagreement& d) {
    json::array limits;
    for (const LimitOfRow& limit : d.limits)
        limits.push_back({{"id", limit.criterion->id},
                          {"limit_mv", limit_of(*limit.criterion, d.negative_end)},
                          {"scale", name_of(*limit.criterion->scale)},
                          {"standard_mv", rounded(limit.standard_mv, 1)}});
    return {{"subject", d.subject},
            {"end", end_name(d)},
            {"oxygen", name_of(d.oxygen)},
            {"spread_mv", rounded(d.spread_mv(), 1)},
            {"limits", limits}};
}

void print_json(const std::vector<Criterion>& rows,
                const std::vector<Disagreement>& disagreements) {
    json::array criteria;
    for (const Criterion& c : rows)
        criteria.push_back(criterion_json(c));
    json::array apart;
    for (const Disagreement& d : disagreements)
        apart.push_back(disagreement_json(d));
    std::cout << to_document({{"criteria", criteria}, {"disagreements", apart}});
}

Outcome run(const Options& options) {
    const auto criteria = criteria_from(GivenFile{options.own_file, {}});
    if (!criteria) return criteria.error();
    const std::vector<std::string> sets = rule_sets_in(*criteria);
    if (!options.rule_set.empty() && std::ranges::find(sets, options.rule_set) == sets.end())
        return Error{ErrorCode::wrong_usage,
                     fmt::format("there is no rule set \"{}\"", options.rule_set), "--rules",
                     fmt::format("Use one of: {}", fmt::join(sets, ", "))};
    const std::vector<Criterion> rows = rows_asked_for(*criteria, options);
    if (rows.empty())
        return Error{ErrorCode::wrong_usage,
                     fmt::format("no criterion is for \"{}\"", options.subject), "--subject",
                     "Run `quaycell criteria` for all there are"};
    const auto disagreements = disagreements_of(*criteria, rows);
    if (options.as_json) {
        print_json(rows, disagreements);
        return Done{};
    }
    std::cout << criteria_table_text(rows) << disagreements_text(disagreements);
    std::cerr << "Hardly any of these tables was read in the original document: the status says "
                 "how each number came here. Confirm it against the document before signing.\n";
    return Done{};
}

} // namespace

void add_criteria(CLI::App& program, Action& action) {
    const auto options = std::make_shared<Options>();
    CLI::App* command =
        program.add_subcommand("criteria", "The limits to judge by, and where they disagree");
    command->add_option("--rules", options->rule_set, "Only this rule set")->type_name("SET");
    command->add_option("--subject", options->subject, "Only this hull or metal")
        ->type_name("NAME");
    command
        ->add_option("--criteria", options->own_file,
                     "Your own criteria, a TOML file: rows that replace or add to those built in")
        ->type_name("FILE");
    command->add_flag("--json", options->as_json, "One JSON document");
    command->footer("A file of your own has rows like this one; a row with the id of a built-in\n"
                    "one takes its place:\n\n" +
                    std::string(own_criterion_example) +
                    "\nExamples:\n"
                    "  quaycell criteria --subject aluminium\n"
                    "  quaycell criteria --rules ships\n"
                    "  quaycell criteria --criteria own.toml --json");
    command->callback([options, &action] { action = [options] { return run(*options); }; });
}

} // namespace quaycell
