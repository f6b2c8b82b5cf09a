#include "check_values.h"

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

double input_of(const CheckRow& row, std::string_view name) {
    const std::string inputs = ';' + row.find("inputs")->second;
    const std::string key = ';' + std::string(name) + '=';
    const std::size_t at = inputs.find(key);
    if (at == std::string::npos) throw std::logic_error("no input " + key + " in " + inputs);
    return std::stod(inputs.substr(at + key.size()));
}

} // namespace quaycell
