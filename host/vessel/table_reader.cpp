#include "vessel/table_reader.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace quaycell {

TableReader::TableReader(const toml::table& table, std::string title, std::string_view where)
    : table_(table), title_(std::move(title)), where_(where) {}

const toml::node* TableReader::take(std::string_view key) {
    known_.emplace(key);
    return table_.get(key);
}

std::string TableReader::place(const toml::node* node) const {
    const auto line = (node == nullptr ? table_.source() : node->source()).begin.line;
    return line == 0 ? where_ : fmt::format("{}:{}", where_, line);
}

void TableReader::complain(std::string_view key, std::string what, std::string remedy) {
    if (complaint_) return;
    complaint_ = Error{ErrorCode::wrong_input,
                       fmt::format("{}{}{}: {}", title_, title_.empty() ? "" : " ", key, what),
                       place(table_.get(key)), std::move(remedy)};
}

std::optional<std::string> TableReader::text(std::string_view key) {
    const toml::node* node = take(key);
    if (node == nullptr) return std::nullopt;
    if (const auto* value = node->as_string()) return value->get();
    complain(key, "a text in quotes is expected here", "");
    return std::nullopt;
}

std::optional<double> TableReader::number(std::string_view key, double low, double high) {
    const auto both = range(key, low, high);
    if (!both) return std::nullopt;
    if (both->low != both->high) {
        complain(key, "one number is expected here, not a range", "");
        return std::nullopt;
    }
    return both->low;
}

std::optional<Range> TableReader::range(std::string_view key, double low, double high) {
    const toml::node* node = take(key);
    if (node == nullptr) return std::nullopt;
    Range value;
    if (const auto single = node->value<double>(); single && node->is_number()) {
        value = {*single, *single};
    } else if (const toml::array* pair = node->as_array(); pair != nullptr && pair->size() == 2 &&
                                                           pair->get(0)->is_number() &&
                                                           pair->get(1)->is_number()) {
        value = {*pair->get(0)->value<double>(), *pair->get(1)->value<double>()};
    } else {
        complain(key, "a number or a range is expected here", "Write 30 or [22, 33].");
        return std::nullopt;
    }
    if (!std::isfinite(value.low) || !std::isfinite(value.high) || value.low > value.high) {
        complain(key, "the range has to go from low to high", "Write it like [22, 33].");
        return std::nullopt;
    }
    if (value.low < low || value.high > high) {
        complain(key,
                 fmt::format("{} is outside the range {} to {}",
                             value.low < low ? value.low : value.high, low, high),
                 "");
        return std::nullopt;
    }
    return value;
}

std::optional<std::string> TableReader::date(std::string_view key) {
    const toml::node* node = take(key);
    if (node == nullptr) return std::nullopt;
    if (const auto* value = node->as_date()) {
        const toml::date day = value->get();
        return fmt::format("{:04}-{:02}-{:02}", day.year, day.month, day.day);
    }
    complain(key, "a date is expected here", "Write it without quotes, like 2026-05-01.");
    return std::nullopt;
}

const toml::table* TableReader::table(std::string_view key) {
    const toml::node* node = take(key);
    if (node == nullptr) return nullptr;
    if (!node->is_table()) complain(key, "a table is expected here", "");
    return node->as_table();
}

const toml::array* TableReader::list_of_tables(std::string_view key) {
    const toml::node* node = take(key);
    if (node == nullptr) return nullptr;
    const toml::array* list = node->as_array();
    if (list == nullptr || !list->is_homogeneous(toml::node_type::table)) {
        complain(key, "a list of tables is expected here",
                 fmt::format("Begin each one with [[{}]].", key));
        return nullptr;
    }
    return list;
}

void TableReader::require(std::string_view key) {
    if (table_.get(key) == nullptr)
        complain(key, "missing", "`quaycell vessel new` writes a file that has it.");
}

std::optional<Error> TableReader::finish() {
    for (const auto& [key, node] : table_) {
        if (complaint_) break;
        if (known_.contains(key.str())) continue;
        std::string valid;
        for (const std::string& name : known_)
            valid += (valid.empty() ? "" : ", ") + name;
        complain(key.str(), "no such key", fmt::format("The keys here are: {}.", valid));
    }
    return complaint_;
}

} // namespace quaycell
