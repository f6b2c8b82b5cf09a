#include "base/table_reader.h"
#include "protection/criterion.h"

#include <algorithm>
#include <fmt/format.h>

namespace quaycell {
namespace {

constexpr std::string_view list_key = "criterion";

bool names_a_subject(std::string_view name, CriterionKind kind) {
    return hull_named(name) || metal_named(name) || (kind == CriterionKind::shift && name == "any");
}

void check_limits(TableReader& reader, const Criterion& c) {
    const bool is_shift = c.kind == CriterionKind::shift;
    if (is_shift == c.scale.has_value())
        reader.complain("scale", "it belongs to every kind but a shift", "");
    reader.require(c.kind == CriterionKind::limit ? "over_at_mv" : "protected_from_mv");
    if (c.protected_from_mv && c.over_at_mv && *c.over_at_mv >= *c.protected_from_mv)
        reader.complain("over_at_mv", "it must be more negative than protected_from_mv", "");
    if (c.salinity_min_psu >= c.salinity_max_psu)
        reader.complain("salinity_min_psu", "it must be less than salinity_max_psu", "");
    if (!is_shift && c.rule_set.empty() != c.background)
        reader.complain("rule_set", "a row belongs to a rule_set or is background", "");
}

Criterion read_row(TableReader& reader) {
    for (const char* key : {"kind", "salinity_min_psu", "salinity_max_psu", "oxygen"})
        reader.require(key);
    Criterion c;
    c.id = reader.needed_text("id");
    c.kind = reader.named("kind", criterion_kind_named).value_or(c.kind);
    c.subject = reader.needed_text("subject");
    if (!c.subject.empty() && !names_a_subject(c.subject, c.kind))
        reader.complain("subject", fmt::format("\"{}\" is neither a hull nor a metal", c.subject),
                        "");
    c.protected_from_mv = reader.number("protected_from_mv");
    c.over_at_mv = reader.number("over_at_mv");
    c.scale = reader.named("scale", scale_named);
    c.salinity_min_psu = reader.number("salinity_min_psu").value_or(0);
    c.salinity_max_psu = reader.number("salinity_max_psu").value_or(0);
    c.oxygen = reader.named("oxygen", oxygen_named).value_or(c.oxygen);
    c.over_reason = reader.text("over_reason").value_or("");
    c.source = reader.needed_text("source");
    c.edition = reader.text("edition").value_or("");
    c.clause = reader.text("clause").value_or("");
    c.status = reader.needed_text("status");
    c.note = reader.text("note").value_or("");
    c.rule_set = reader.text("rule_set").value_or("");
    c.background = reader.flag("background").value_or(false);
    return c;
}

} // namespace

Result<std::vector<Criterion>> parse_criteria(std::string_view toml_text, std::string_view where) {
    const TomlFile file{std::string(where), fmt::format("Every row starts with [[{}]]", list_key)};
    const Result<toml::table> root = parse_toml(toml_text, file);
    if (!root) return root.error();
    TableReader reader(*root, "", file);
    reader.require(list_key);
    const toml::array* rows = reader.list_of_tables(list_key);
    if (const auto error = reader.finish()) return *error;

    std::vector<Criterion> criteria;
    for (const toml::node& node : *rows) {
        TableReader row(*node.as_table(), fmt::format("[[{}]]", list_key), file);
        Criterion c = read_row(row);
        // What belongs together is looked at when each value by itself is right.
        if (const auto error = row.finish()) return *error;
        check_limits(row, c);
        if (std::ranges::find(criteria, c.id, &Criterion::id) != criteria.end())
            row.complain("id", fmt::format("\"{}\" is there twice", c.id), "");
        if (const auto error = row.finish()) return *error;
        criteria.push_back(std::move(c));
    }
    return criteria;
}

} // namespace quaycell
