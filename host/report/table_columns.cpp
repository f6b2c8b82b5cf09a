#include "report/table_columns.h"

#include "chart/text.h"

#include <algorithm>
#include <cmath>

namespace quaycell {

namespace {

constexpr std::size_t longest_whole = 20; ///< bytes of a word
constexpr double to_spare_mm = 0.05;      ///< so that what just fits does fit

/// The widest word of a text that is not to be broken, [mm].
double widest_word_mm(const std::string& text, double size_mm, bool bold,
                      const TextWidth& text_width) {
    double widest_mm = 0;
    for (std::size_t i = 0; i < text.size();) {
        const std::size_t space = std::min(text.find(' ', i), text.size());
        // No character is wider than its size: most words need no measuring.
        const std::size_t length = space - i;
        if (length <= longest_whole && static_cast<double>(length) * size_mm > widest_mm)
            widest_mm = std::max(widest_mm, text_width(text.substr(i, space - i), size_mm, bold));
        i = space + 1;
    }
    return widest_mm;
}

} // namespace

std::vector<TableColumn> fitted_columns(const Table& table, double width_mm, double size_mm,
                                        const TextWidth& text_width) {
    std::vector<TableColumn> columns = table.columns;
    double lacking = 0, to_spare = 0;
    std::vector<double> needed;
    for (std::size_t c = 0; c < columns.size(); ++c) {
        double widest_mm =
            widest_word_mm(clean_text(columns[c].heading), size_mm, true, text_width);
        for (const auto& row : table.rows)
            widest_mm = std::max(widest_mm,
                                 widest_word_mm(clean_text(row.at(c)), size_mm, false, text_width));
        needed.push_back((widest_mm + cell_gap_mm + to_spare_mm) / width_mm);
        const double more = columns[c].share - needed.back();
        (more < 0 ? lacking : to_spare) += std::abs(more);
    }
    if (lacking == 0 || lacking > to_spare) return columns;
    for (std::size_t c = 0; c < columns.size(); ++c) {
        const double more = columns[c].share - needed[c];
        columns[c].share = more < 0 ? needed[c] : columns[c].share - more * lacking / to_spare;
    }
    return columns;
}

} // namespace quaycell
