#include "report/table_columns.h"

#include "chart/text.h"

#include <algorithm>
#include <cmath>
#include <optional>

namespace quaycell {

namespace {

constexpr std::size_t longest_whole = 20;  ///< bytes of a word
constexpr std::size_t longest_number = 12; ///< bytes of one with its unit; what is longer says more
constexpr double to_spare_mm = 0.05;       ///< so that what just fits does fit

/// Where a text may be broken into lines.
enum class Broken { at_spaces, nowhere };

/// The widest part of a text that is not to be broken, [mm].
double widest_part_mm(const std::string& text, Broken broken, double size_mm, bool bold,
                      const TextWidth& text_width) {
    const bool stays_whole = broken == Broken::nowhere && text.size() <= longest_number;
    double widest_mm = 0;
    for (std::size_t i = 0; i < text.size();) {
        const std::size_t space =
            stays_whole ? text.size() : std::min(text.find(' ', i), text.size());
        // No character is wider than its size: most words need no measuring.
        const std::size_t length = space - i;
        if (length <= longest_whole && static_cast<double>(length) * size_mm > widest_mm)
            widest_mm = std::max(widest_mm, text_width(text.substr(i, space - i), size_mm, bold));
        i = space + 1;
    }
    return widest_mm;
}

/// Nothing where there is not enough to take.
std::optional<std::vector<TableColumn>> fitted(const Table& table, Broken numbers, double width_mm,
                                               double size_mm, const TextWidth& text_width) {
    std::vector<TableColumn> columns = table.columns;
    double lacking = 0, to_spare = 0;
    std::vector<double> needed;
    for (std::size_t c = 0; c < columns.size(); ++c) {
        double widest_mm = widest_part_mm(clean_text(columns[c].heading), Broken::at_spaces,
                                          size_mm, true, text_width);
        const Broken cell = columns[c].anchor == Anchor::end ? numbers : Broken::at_spaces;
        for (const auto& row : table.rows)
            widest_mm = std::max(
                widest_mm, widest_part_mm(clean_text(row.at(c)), cell, size_mm, false, text_width));
        needed.push_back((widest_mm + cell_gap_mm + to_spare_mm) / width_mm);
        const double more = columns[c].share - needed.back();
        (more < 0 ? lacking : to_spare) += std::abs(more);
    }
    if (lacking > to_spare) return std::nullopt;
    if (lacking == 0) return columns;
    for (std::size_t c = 0; c < columns.size(); ++c) {
        const double more = columns[c].share - needed[c];
        columns[c].share = more < 0 ? needed[c] : columns[c].share - more * lacking / to_spare;
    }
    return columns;
}

} // namespace

std::vector<TableColumn> fitted_columns(const Table& table, double width_mm, double size_mm,
                                        const TextWidth& text_width) {
    for (const Broken numbers : {Broken::nowhere, Broken::at_spaces})
        if (auto columns = fitted(table, numbers, width_mm, size_mm, text_width)) return *columns;
    return table.columns;
}

} // namespace quaycell
