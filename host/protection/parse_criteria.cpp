#include "protection/criterion.h"

#include <algorithm>
#include <array>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <toml++/toml.h>

namespace quaycell {
namespace {

constexpr std::string_view list_key = "criterion";

constexpr std::array known_keys = std::to_array<std::string_view>(
    {"id", "subject", "kind", "protected_from_mv", "over_at_mv", "scale", "salinity_min_psu",
     "salinity_max_psu", "oxygen", "over_reason", "source", "edition", "clause", "status", "note",
     "rule_set", "background"});

constexpr std::array oxygen_names =
    std::to_array<std::string_view>({"aerobic", "anaerobic", "any"});

/// Reads the keys of one row. The first thing that is wrong stays as the error.
class RowReader {
  public:
    RowReader(const toml::table& row, std::string_view where) : row_(row), where_(where) {
        for (const auto& [key, node] : row)
            if (std::find(known_keys.begin(), known_keys.end(), key.str()) == known_keys.end())
                fail(node, fmt::format("unknown key \"{}\"", key.str()),
                     fmt::format("Known keys: {}", fmt::join(known_keys, ", ")));
    }

    std::string optional_text(std::string_view key) {
        return read<std::string>(key, "a text").value_or("");
    }
    std::string text(std::string_view key) {
        return required(key, read<std::string>(key, "a text"));
    }
    std::optional<double> optional_number(std::string_view key) {
        return read<double>(key, "a number");
    }
    double number(std::string_view key) { return required(key, optional_number(key)); }
    bool flag(std::string_view key) { return read<bool>(key, "true or false").value_or(false); }

    /// The value of a Result made from the text of a key.
    template <typename T>
    T taken(std::string_view key, const Result<T>& result) {
        if (result) return *result;
        const toml::node* node = row_.get(key);
        fail(node != nullptr ? *node : row_, fmt::format("{}: {}", key, result.error().what),
             result.error().remedy);
        return T{};
    }

    void require(bool holds, std::string_view what) {
        if (!holds) fail(row_, std::string(what), "");
    }

    const std::optional<Error>& error() const { return error_; }

  private:
    template <typename T>
    std::optional<T> read(std::string_view key, std::string_view expected) {
        const toml::node* node = row_.get(key);
        if (node == nullptr) return std::nullopt;
        // An integer is a number too; otherwise the type is to be just this.
        const bool right_type = node->is<T>() || (std::is_same_v<T, double> && node->is_integer());
        const std::optional<T> value = right_type ? node->value<T>() : std::nullopt;
        if (!value) fail(*node, fmt::format("{} is not {}", key, expected), "");
        return value;
    }

    template <typename T>
    T required(std::string_view key, std::optional<T> value) {
        if (!value && row_.get(key) == nullptr)
            fail(row_, fmt::format("key \"{}\" is missing", key), "");
        return value.value_or(T{});
    }

    void fail(const toml::node& at, std::string what, std::string remedy) {
        if (error_) return;
        error_ = Error{ErrorCode::wrong_input, std::move(what),
                       fmt::format("{}:{}", where_, at.source().begin.line), std::move(remedy)};
    }

    const toml::table& row_;
    std::string_view where_;
    std::optional<Error> error_;
};

bool names_a_subject(std::string_view name, CriterionKind kind) {
    return hull_named(name) || metal_named(name) || (kind == CriterionKind::shift && name == "any");
}

void check_limits(RowReader& reader, const Criterion& c) {
    const bool is_shift = c.kind == CriterionKind::shift;
    reader.require(is_shift != c.scale.has_value(), "a scale belongs to every kind but a shift");
    reader.require(c.kind == CriterionKind::limit || c.protected_from_mv.has_value(),
                   "key \"protected_from_mv\" is missing");
    reader.require(c.kind != CriterionKind::limit || c.over_at_mv.has_value(),
                   "key \"over_at_mv\" is missing");
    reader.require(!c.protected_from_mv || !c.over_at_mv || *c.over_at_mv < *c.protected_from_mv,
                   "over_at_mv must be more negative than protected_from_mv");
    reader.require(c.salinity_min_psu < c.salinity_max_psu,
                   "salinity_min_psu must be less than salinity_max_psu");
    reader.require(is_shift || c.rule_set.empty() == c.background,
                   "a row belongs to a rule_set or is background");
}

Result<Criterion> read_row(const toml::table& row, std::string_view where) {
    RowReader reader(row, where);
    Criterion c;
    c.id = reader.text("id");
    c.kind = reader.taken("kind", criterion_kind_named(reader.text("kind")));
    c.subject = reader.text("subject");
    reader.require(names_a_subject(c.subject, c.kind),
                   fmt::format("subject \"{}\" is neither a hull nor a metal", c.subject));
    c.protected_from_mv = reader.optional_number("protected_from_mv");
    c.over_at_mv = reader.optional_number("over_at_mv");
    if (row.contains("scale")) c.scale = reader.taken("scale", scale_named(reader.text("scale")));
    c.salinity_min_psu = reader.number("salinity_min_psu");
    c.salinity_max_psu = reader.number("salinity_max_psu");
    c.oxygen = reader.text("oxygen");
    reader.require(std::find(oxygen_names.begin(), oxygen_names.end(), c.oxygen) !=
                       oxygen_names.end(),
                   fmt::format("oxygen must be one of: {}", fmt::join(oxygen_names, ", ")));
    c.over_reason = reader.optional_text("over_reason");
    c.source = reader.text("source");
    c.edition = reader.optional_text("edition");
    c.clause = reader.optional_text("clause");
    c.status = reader.text("status");
    c.note = reader.optional_text("note");
    c.rule_set = reader.optional_text("rule_set");
    c.background = reader.flag("background");
    check_limits(reader, c);
    if (reader.error()) return *reader.error();
    return c;
}

Result<std::vector<Criterion>> read_rows(const toml::table& root, std::string_view where) {
    const auto wrong = [where](const toml::source_region& at, std::string what) {
        return Error{ErrorCode::wrong_input, std::move(what),
                     fmt::format("{}:{}", where, at.begin.line),
                     fmt::format("Every row starts with [[{}]]", list_key)};
    };
    for (const auto& [key, node] : root)
        if (key.str() != list_key)
            return wrong(node.source(), fmt::format("unknown key \"{}\"", key.str()));
    const toml::array* rows = root[list_key].as_array();
    if (rows == nullptr) return wrong(root.source(), "there are no criteria");

    std::vector<Criterion> criteria;
    for (const toml::node& node : *rows) {
        const toml::table* row = node.as_table();
        if (row == nullptr) return wrong(node.source(), "a criterion must be a table");
        const Result<Criterion> criterion = read_row(*row, where);
        if (!criterion) return criterion.error();
        for (const Criterion& earlier : criteria)
            if (earlier.id == criterion->id)
                return wrong(row->source(),
                             fmt::format("the id \"{}\" is there twice", earlier.id));
        criteria.push_back(*criterion);
    }
    return criteria;
}

} // namespace

Result<std::vector<Criterion>> parse_criteria(std::string_view toml_text, std::string_view where) {
    try {
        return read_rows(toml::parse(toml_text), where);
    } catch (const toml::parse_error& error) {
        return Error{ErrorCode::wrong_input, std::string(error.description()),
                     fmt::format("{}:{}", where, error.source().begin.line), ""};
    }
}

} // namespace quaycell
