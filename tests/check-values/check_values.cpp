#include "check_values.h"

#include <cmath>
#include <doctest/doctest.h>
#include <fstream>
#include <stdexcept>

namespace quaycell {
namespace {

std::vector<std::string> fields_of(const std::string& line) {
    std::vector<std::string> fields(1);
    bool quoted = false;
    for (const char c : line) {
        if (c == '"')
            quoted = !quoted;
        else if (c == ',' && !quoted)
            fields.emplace_back();
        else
            fields.back() += c;
    }
    return fields;
}

} // namespace

std::vector<CheckRow> check_rows(std::string_view file) {
    const std::string path = std::string(QUAYCELL_CHECK_VALUES) + '/' + std::string(file);
    std::ifstream in(path);
    REQUIRE_MESSAGE(in, path);
    std::vector<std::string> columns;
    std::vector<CheckRow> rows;
    for (std::string line; std::getline(in, line);) {
        if (line.empty() || line.front() == '#') continue;
        const std::vector<std::string> fields = fields_of(line);
        if (columns.empty()) {
            columns = fields;
            continue;
        }
        REQUIRE_MESSAGE(fields.size() == columns.size(), path << ": " << line);
        CheckRow row;
        for (std::size_t i = 0; i < columns.size(); ++i)
            row[columns[i]] = fields[i];
        rows.push_back(std::move(row));
    }
    return rows;
}

double number_in(const CheckRow& row, std::string_view column) {
    return std::stod(row.find(column)->second);
}

int hold_to_published(std::string_view file,
                      const std::map<std::string, Computed, std::less<>>& computed,
                      const std::map<std::string, std::string, std::less<>>& left_out) {
    struct Tally {
        int rows = 0;
        double worst_share = 0; ///< of the tolerance
        std::string worst;
    };
    std::map<std::string, Tally> by_source;
    std::map<std::string, int> skipped;
    int met = 0;
    for (const CheckRow& row : check_rows(file)) {
        const std::string& quantity = row.at("quantity");
        if (const auto reason = left_out.find(quantity); reason != left_out.end()) {
            ++skipped[quantity + ": " + reason->second];
            continue;
        }
        const auto known = computed.find(quantity);
        REQUIRE_MESSAGE(known != computed.end(), "no reader for " << quantity);
        INFO(quantity << " " << row.at("inputs") << " from " << row.at("source"));
        const double off = std::abs(known->second(row) - number_in(row, "value"));
        const double tolerance = number_in(row, "suggested_tolerance");
        CHECK(off <= tolerance);
        ++met;
        Tally& tally = by_source[row.at("source")];
        ++tally.rows;
        if (off / tolerance < tally.worst_share) continue;
        tally.worst_share = off / tolerance;
        tally.worst = quantity + ' ' + row.at("inputs").substr(0, 60);
    }
    for (const auto& [source, tally] : by_source)
        MESSAGE(tally.rows << " rows of " << source << ": at worst "
                           << std::round(1000 * tally.worst_share) / 10 << " % of the tolerance, "
                           << tally.worst);
    for (const auto& [reason, rows] : skipped)
        MESSAGE("left out " << rows << " rows of " << reason);
    return met;
}

double input_of(const CheckRow& row, std::string_view name) {
    return std::stod(input_text(row, name));
}

std::string input_text(const CheckRow& row, std::string_view name) {
    const std::string inputs = ';' + row.find("inputs")->second;
    const std::string key = ';' + std::string(name) + '=';
    const std::size_t at = inputs.find(key);
    if (at == std::string::npos) throw std::logic_error("no input " + key + " in " + inputs);
    const std::size_t from = at + key.size();
    return inputs.substr(from, inputs.find(';', from) - from);
}

} // namespace quaycell
