// A budget of uncertainty as a table and as JSON, and the file it comes from.
#pragma once

#include "electrode/budget.h"
#include "judging/files.h"

#include <boost/json/fwd.hpp>
#include <string>

namespace CLI {
class App;
}

namespace quaycell {

/// --budget FILE
void add_budget_option(CLI::App& command, std::string& file);

/// Reads a budget file from disk; the built-in budget where no file is named.
Result<BudgetTerms> load_budget_terms(const GivenFile& file);

/// One line a source of error: value, sensitivity, share in mV (k = 1), source; and the sum.
std::string budget_text(const Budget& budget);

boost::json::value budget_json(const Budget& budget);

} // namespace quaycell
