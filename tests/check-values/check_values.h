// Reads the tables of tests/check-values.
#pragma once

#include <functional>
#include <map>
#include <string>
#include <string_view>
#include <vector>

namespace quaycell {

/// A row by the names of its columns.
using CheckRow = std::map<std::string, std::string, std::less<>>;

/// The rows of a CSV file (RFC 4180, no line breaks in fields; lines that start with # are
/// comments).
std::vector<CheckRow> check_rows(std::string_view file);

/// How the program computes a quantity, in the unit of the row.
using Computed = std::function<double(const CheckRow&)>;

/// Holds each row of a file with the columns quantity, inputs, value, suggested_tolerance, source
/// to what the program computes, but for quantities left out with a reason. Prints how many rows of
/// each source are met and the worst of them. Returns how many were held.
int hold_to_published(std::string_view file,
                      const std::map<std::string, Computed, std::less<>>& computed,
                      const std::map<std::string, std::string, std::less<>>& left_out);

/// The number that a field starts with: "1e-3 (of the table)" -> 0.001.
double number_in(const CheckRow& row, std::string_view column);

/// The inputs of a row, "C=34.5 mS/cm;t90=10;p=0" -> the number of `name`.
double input_of(const CheckRow& row, std::string_view name);
std::string input_text(const CheckRow& row, std::string_view name);

} // namespace quaycell
