#include "electrode/budget_terms.h"

#include "base/table_reader.h"

#include <fmt/format.h>
#include <utility>

namespace quaycell {
namespace {

constexpr std::array<std::string_view, 2> distributions{"rectangular", "normal"};
constexpr std::array<std::string_view, 2> kinds{"systematic", "random"};

struct TermFacts {
    std::string_view key;
    std::string_view value_key;
    std::string_view unit;
};

// In the order of Term.
constexpr std::array<TermFacts, term_count> facts{{
    {"cell_checked", "value_mv", "mV"},
    {"cell_unchecked", "value_mv", "mV"},
    {"ageing", "value_mv", "mV"},
    {"salinity", "value_percent", "%"},
    {"salinity_assumed", "value_mv", "mV"},
    {"temperature", "value_k", "K"},
    {"temperature_assumed", "value_k", "K"},
    {"cell_temperature", "value_k", "K"},
    {"electronics", "value_mv", "mV"},
    {"electronics_one_temperature", "value_mv", "mV"},
    {"electronics_two_temperatures", "value_mv", "mV"},
    {"contact", "value_mv", "mV"},
    {"junction", "value_times", "times"},
    {"ir_drop", "value_mv", "mV"},
    {"repeatability", "value_mv", "mV"},
}};

constexpr double largest_value = 1000; // beyond that nothing is known at all

template <typename Value>
Result<Value> one_of(const std::array<std::string_view, 2>& names, std::string_view what,
                     std::string_view name) {
    for (std::size_t i = 0; i < names.size(); ++i)
        if (names[i] == name) return static_cast<Value>(i);
    return Error{ErrorCode::wrong_input, fmt::format("there is no {} \"{}\"", what, name), "",
                 fmt::format("Write \"{}\" or \"{}\".", names[0], names[1])};
}

Result<Distribution> distribution_named(std::string_view name) {
    return one_of<Distribution>(distributions, "distribution", name);
}

Result<ErrorKind> error_kind_named(std::string_view name) {
    return one_of<ErrorKind>(kinds, "kind of error", name);
}

Result<TermValue> read_term(const toml::table& table, const TermFacts& term, const TomlFile& file) {
    TableReader reader(table, fmt::format("[{}]", term.key), file);
    reader.require(term.value_key);
    reader.require("distribution");
    reader.require("kind");
    const auto value = reader.number(term.value_key, 0, largest_value);
    const auto distribution = reader.named("distribution", distribution_named);
    const auto kind = reader.named("kind", error_kind_named);
    std::string source = reader.needed_text("source");
    if (auto complaint = reader.finish()) return std::move(*complaint);
    return TermValue{*value, *distribution, *kind, std::move(source)};
}

Result<BudgetTerms> read_terms(std::string_view text, std::string_view where, BudgetTerms terms) {
    const TomlFile file{std::string(where),
                        "`quaycell judge --default-budget` prints a whole file to start from."};
    const auto toml = parse_toml(text, file);
    if (!toml) return toml.error();
    TableReader reader(*toml, "", file);
    for (std::size_t i = 0; i < term_count; ++i) {
        const toml::table* table = reader.table(facts[i].key);
        if (table == nullptr) continue;
        auto value = read_term(*table, facts[i], file);
        if (!value) return value.error();
        terms.set(static_cast<Term>(i), std::move(value).value());
    }
    if (auto complaint = reader.finish()) return std::move(*complaint);
    return terms;
}

} // namespace

std::string_view name_of(Distribution distribution) {
    return distributions.at(static_cast<std::size_t>(distribution));
}

std::string_view name_of(ErrorKind kind) {
    return kinds.at(static_cast<std::size_t>(kind));
}

std::string_view unit_of(Term term) {
    return facts.at(static_cast<std::size_t>(term)).unit;
}

void BudgetTerms::set(Term term, TermValue value) {
    values_.at(static_cast<std::size_t>(term)) = std::move(value);
}

Result<BudgetTerms> parse_budget(std::string_view toml, std::string_view where) {
    return read_terms(toml, where, default_budget_terms());
}

const BudgetTerms& default_budget_terms() {
    static const BudgetTerms terms =
        read_terms(default_budget_file(), "budget.toml", BudgetTerms{}).value();
    return terms;
}

} // namespace quaycell
