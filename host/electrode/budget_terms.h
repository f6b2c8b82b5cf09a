// How much each source of error counts: the budget file.
#pragma once

#include "base/result.h"

#include <array>
#include <cstddef>
#include <string>
#include <string_view>

namespace quaycell {

enum class Distribution {
    rectangular, ///< known to lie within +-value, and nothing more
    normal,      ///< value is the standard deviation
};
std::string_view name_of(Distribution distribution);

enum class ErrorKind {
    systematic, ///< the same from reading to reading: never averaged away
    random,
};
std::string_view name_of(ErrorKind kind);

/// The sources of error, in the order of the budget file.
enum class Term {
    cell_checked,
    cell_unchecked,
    ageing,
    salinity,
    salinity_assumed,
    temperature,
    temperature_assumed,
    cell_temperature,
    electronics,
    electronics_one_temperature,
    electronics_two_temperatures,
    contact,
    junction,
    ir_drop,
    repeatability,
};
inline constexpr std::size_t term_count = 15;

std::string_view unit_of(Term term); ///< "mV", "K", "%", "times"

/// What the file says of one source.
struct TermValue {
    double value; ///< in unit_of the term
    Distribution distribution;
    ErrorKind kind;
    std::string source; ///< with its status in words
};

class BudgetTerms {
  public:
    const TermValue& of(Term term) const { return values_.at(static_cast<std::size_t>(term)); }
    void set(Term term, TermValue value);

  private:
    std::array<TermValue, term_count> values_{};
};

/// Reads a budget file; sources that it leaves out keep their built-in values. An unknown key, a
/// value missing, negative or of the wrong type is an error (wrong_input) whose place is
/// "WHERE:line" and whose cause names table and key.
Result<BudgetTerms> parse_budget(std::string_view toml, std::string_view where);

/// The budget file that is built in: its text, and what it says.
std::string_view default_budget_file();
const BudgetTerms& default_budget_terms();

} // namespace quaycell
