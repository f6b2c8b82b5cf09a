// How wide the columns of a table are set.
#pragma once

#include "report/document.h"

namespace quaycell {

inline constexpr double cell_gap_mm = 2; ///< between a column's text and the next column

/// The table's columns, with so much taken from those that have more than their longest word needs
/// that no word of a narrow one has to be broken and no number, which stands at the end of its
/// column, is parted from its unit; the words alone where there is not enough to take for both, and
/// as they are where there is not for them. Words of more than 20 characters, digests above all,
/// may be broken.
std::vector<TableColumn> fitted_columns(const Table& table, double width_mm, double size_mm,
                                        const TextWidth& text_width);

} // namespace quaycell
