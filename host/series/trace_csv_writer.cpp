#include "series/trace_csv.h"

#include "base/many_instants.h"
#include "series/trace_csv_columns.h"

#include <charconv>
#include <cmath>
#include <fmt/format.h>

namespace quaycell {

namespace {

constexpr int decimals = 3; // 1 uV; the converter's step is 62.5 uV

/// A whole number of thousandths as a decimal without zeros at its end.
void append_thousandths(std::string& text, std::int64_t thousandths) {
    std::array<char, 24> digits;
    char* const end = digits.data() + digits.size();
    char* at = end;
    auto left = static_cast<std::uint64_t>(thousandths < 0 ? -thousandths : thousandths);
    bool shown = false; // a digit behind the point
    for (int place = 0; place < decimals; ++place, left /= 10) {
        shown = shown || left % 10 != 0;
        if (shown) *--at = static_cast<char>('0' + left % 10);
    }
    if (shown) *--at = '.';
    do
        *--at = static_cast<char>('0' + left % 10);
    while ((left /= 10) != 0);
    if (thousandths < 0) *--at = '-';
    text.append(at, static_cast<std::size_t>(end - at));
}

void append_number(std::string& text, double value) {
    if (std::isnan(value)) return;
    // A thousandth that the product cannot be in doubt about is what the library would write. It is
    // off by less than a part in 2^52, far below this margin.
    constexpr double largest = 1e8, margin = 1e-4;
    const double scaled = value * 1000;
    if (std::abs(scaled) < largest) {
        const auto nearest = static_cast<std::int64_t>(scaled + (scaled < 0 ? -0.5 : 0.5));
        if (std::abs(scaled - static_cast<double>(nearest)) < 0.5 - margin) {
            append_thousandths(text, nearest);
            return;
        }
    }
    std::array<char, 64> digits;
    const auto [end, failure] = std::to_chars(digits.data(), digits.data() + digits.size(), value,
                                              std::chars_format::fixed, decimals);
    std::string_view number(digits.data(), static_cast<std::size_t>(end - digits.data()));
    number = number.substr(0, number.find_last_not_of('0') + 1);
    if (number.ends_with('.')) number.remove_suffix(1);
    text += number == "-0" ? "0" : number;
}

/// The words as they may stand in a file, read back the same.
std::string deployment_cell(const std::string& what) {
    std::string cell = what.substr(0, csv::longest_deployment);
    for (char& c : cell)
        if (!csv::may_name_deployment(c)) c = '_';
    return !cell.empty() && csv::is_letter(cell.front()) ? cell : "deployment";
}

/// Room for that many rows, by how long the first ones are.
void make_room(std::string& text, std::size_t header, std::size_t done, std::size_t rows) {
    constexpr std::size_t looked_at = 64;
    if (done != looked_at) return;
    const std::size_t each = (text.size() - header) / looked_at + 1;
    const std::size_t size = header + rows * (each + each / 8);
    if (text.capacity() < size) text.reserve(size);
}

} // namespace

void write_trace_csv(const Trace& trace, std::span<const double> standard_mv, std::string& text) {
    text = csv::time_name;
    for (const csv::NumberColumn& column : csv::number_columns) {
        if (!column.required && (trace.*column.values).empty()) continue;
        text += fmt::format(",{}", column.name);
        if (column.required && trace.cell_scale) text += fmt::format(",{}", csv::scale_name);
    }
    if (!trace.quality.empty()) text += fmt::format(",{}", csv::quality_name);
    if (!trace.joints.empty()) text += fmt::format(",{}", csv::deployment_name);
    if (!standard_mv.empty()) text += fmt::format(",{}", csv::standard_name);
    text += "\r\n";
    const std::size_t header = text.size();
    const std::string scale =
        trace.cell_scale ? fmt::format(",{}", name_of(*trace.cell_scale)) : std::string();
    InstantWriter times;
    auto joint = trace.joints.begin();
    for (std::size_t i = 0; i < trace.time.size(); ++i) {
        make_room(text, header, i, trace.time.size());
        times.append(text, trace.time[i]);
        for (const csv::NumberColumn& column : csv::number_columns) {
            const std::vector<double>& values = trace.*column.values;
            if (values.empty()) continue;
            text += ',';
            append_number(text, values[i]);
            if (column.required) text += scale;
        }
        if (!trace.quality.empty()) {
            text += ',';
            if (trace.quality[i] != Quality::good) text += to_text(trace.quality[i]);
        }
        if (!trace.joints.empty()) {
            text += ',';
            if (joint != trace.joints.end() && joint->first == i)
                text += deployment_cell((joint++)->what);
        }
        if (!standard_mv.empty()) {
            text += ',';
            append_number(text, standard_mv[i]);
        }
        text += "\r\n";
    }
}

std::string write_trace_csv(const Trace& trace, std::span<const double> standard_mv) {
    std::string text;
    write_trace_csv(trace, standard_mv, text);
    return text;
}

} // namespace quaycell
