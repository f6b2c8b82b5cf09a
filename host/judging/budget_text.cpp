#include "judging/budget_text.h"

#include "judging/json_text.h"

#include <boost/json.hpp>
#include <CLI/CLI.hpp>
#include <fmt/format.h>

namespace quaycell {

namespace json = boost::json;

void add_budget_option(CLI::App& command, std::string& file) {
    command
        .add_option("--budget", file,
                    "Budget of uncertainty; `quaycell judge --default-budget` prints one to start "
                    "from")
        ->type_name("FILE");
}

Result<BudgetTerms> load_budget_terms(const GivenFile& file) {
    if (!file.is_given()) return default_budget_terms();
    const auto text = file.read();
    if (!text) return text.error();
    return parse_budget(*text, file.path);
}

std::string budget_text(const Budget& budget) {
    constexpr std::string_view row = "{:<32} {:>14} {:<12} {:<11} {:>10} {:>7}  {}\n";
    std::string text = fmt::format(row, "uncertainty from", "value", "distribution", "kind",
                                   "mV/unit", "u, mV", "source");
    for (const BudgetLine& line : budget.lines)
        text += fmt::format(row, line.name, fmt::format("{:.3g} {}", line.value, line.unit),
                            name_of(line.distribution), name_of(line.kind),
                            fmt::format("{:.3g}", line.sensitivity),
                            fmt::format("{:.2f}", line.standard_mv()), line.source);
    return text + fmt::format("root of the sum of squares {:.2f} mV; expanded uncertainty, k = 2: "
                              "{:.1f} mV\n",
                              budget.expanded_mv() / coverage_factor, budget.expanded_mv());
}

json::value budget_json(const Budget& budget) {
    json::array lines;
    for (const BudgetLine& line : budget.lines)
        lines.push_back({{"name", line.name},
                         {"value", rounded(line.value, 4)},
                         {"unit", line.unit},
                         {"distribution", name_of(line.distribution)},
                         {"kind", name_of(line.kind)},
                         {"sensitivity_mv_per_unit", rounded(line.sensitivity, 4)},
                         {"standard_mv", rounded(line.standard_mv(), 3)},
                         {"source", line.source}});
    return {{"lines", lines},
            {"coverage_factor", coverage_factor},
            {"expanded_uncertainty_mv", rounded(budget.expanded_mv(), 2)}};
}

} // namespace quaycell
