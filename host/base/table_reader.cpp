#include "base/table_reader.h"

#include <cmath>
#include <fmt/format.h>
#include <fmt/ranges.h>

namespace quaycell {

Result<toml::table> parse_toml(std::string_view text, const TomlFile& file) {
    try {
        return toml::parse(text);
    } catch (const toml::parse_error& error) {
        const toml::source_position at = error.source().begin;
        return Error{ErrorCode::wrong_input, std::string(error.description()),
                     fmt::format("{}:{}:{}", file.name, at.line, at.column), file.remedy};
    }
}

TableReader::TableReader(const toml::table& table, std::string title, const TomlFile& file)
    : table_(table), title_(std::move(title)), file_(file) {}

const toml::node* TableReader::take(std::string_view key) {
    known_.emplace(key);
    return table_.get(key);
}

Error TableReader::error(std::string_view key, std::string what, std::string remedy) const {
    const toml::node* node = table_.get(key);
    const auto line = (node == nullptr ? table_.source() : node->source()).begin.line;
    return {ErrorCode::wrong_input,
            fmt::format("{}{}{}: {}", title_, title_.empty() ? "" : " ", key, what),
            line == 0 ? file_.name : fmt::format("{}:{}", file_.name, line), std::move(remedy)};
}

void TableReader::complain(std::string_view key, std::string what, std::string remedy) {
    if (!complaint_) complaint_ = error(key, std::move(what), std::move(remedy));
}

void TableReader::require(std::string_view key) {
    if (!missing_ && table_.get(key) == nullptr) missing_ = error(key, "missing", file_.remedy);
}

std::optional<std::string> TableReader::text(std::string_view key) {
    const toml::node* node = take(key);
    if (node == nullptr) return std::nullopt;
    if (const auto* value = node->as_string()) return value->get();
    complain(key, "a text in quotes is expected here", "");
    return std::nullopt;
}

std::string TableReader::needed_text(std::string_view key) {
    require(key);
    const auto value = text(key);
    if (value && value->empty()) complain(key, "it is empty", "");
    return value.value_or("");
}

std::optional<bool> TableReader::flag(std::string_view key) {
    const toml::node* node = take(key);
    if (node == nullptr) return std::nullopt;
    if (const auto* value = node->as_boolean()) return value->get();
    complain(key, "true or false is expected here", "");
    return std::nullopt;
}

std::optional<double> TableReader::number(std::string_view key, double low, double high) {
    const toml::node* node = take(key);
    if (node == nullptr) return std::nullopt;
    if (!node->is_number()) {
        complain(key, "one number is expected here", "");
        return std::nullopt;
    }
    const auto both = range(key, low, high);
    return both ? std::optional(both->low) : std::nullopt;
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
    if (!std::isfinite(value.low) || !std::isfinite(value.high)) {
        complain(key, "it is not finite", "");
        return std::nullopt;
    }
    if (value.low > value.high) {
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

namespace {

std::string text_of(const toml::date& day) {
    return fmt::format("{:04}-{:02}-{:02}", day.year, day.month, day.day);
}

} // namespace

std::optional<std::string> TableReader::date(std::string_view key) {
    const toml::node* node = take(key);
    if (node == nullptr) return std::nullopt;
    if (const auto* value = node->as_date()) return text_of(value->get());
    complain(key, "a date is expected here", "Write it without quotes, like 2026-05-01.");
    return std::nullopt;
}

std::optional<WhenDone> TableReader::day_or_time(std::string_view key) {
    const toml::node* node = take(key);
    if (node == nullptr) return std::nullopt;
    const auto start_of = [](const toml::date& day) {
        return Instant{
            std::chrono::sys_days{std::chrono::year{day.year} / std::chrono::month{day.month} /
                                  std::chrono::day{day.day}}};
    };
    if (const auto* day = node->as_date()) {
        const Instant start = start_of(day->get());
        return WhenDone{start, start + std::chrono::days{1}, text_of(day->get())};
    }
    const auto* value = node->as_date_time();
    if (value != nullptr && value->get().offset) {
        const toml::date_time& at = value->get();
        const Instant time = start_of(at.date) + std::chrono::hours{at.time.hour} +
                             std::chrono::minutes{at.time.minute} +
                             std::chrono::seconds{at.time.second} -
                             std::chrono::minutes{at.offset->minutes};
        return WhenDone{time, time, to_text(time)};
    }
    complain(key, "a day, or a time with its offset from UTC, is expected here",
             "Write it without quotes, like 2026-05-01 or 2026-05-01T14:30:00Z.");
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

std::optional<Error> TableReader::finish() {
    for (const auto& [key, node] : table_)
        if (!known_.contains(key.str()))
            complain(key.str(), "no such key",
                     fmt::format("The keys here are: {}.", fmt::join(known_, ", ")));
    return complaint_ ? complaint_ : missing_;
}

} // namespace quaycell
