// Whether a reference cell can be trusted: compared with another cell or with clean zinc in the
// same water.
#pragma once

#include "base/result.h"
#include "electrode/scale.h"

#include <string>
#include <string_view>

namespace quaycell {

enum class CellFinding {
    good,     ///< within the limit of a cell to work with
    doubtful, ///< clean it and compare again; readings count as taken with an unchecked cell
    rejected, ///< readings taken with it are not judged
};

std::string_view name_of(CellFinding finding); ///< "good"

/// What a comparison found, and by what limit.
struct CellComparison {
    CellFinding finding;
    double
        difference_mv;  ///< of the cell from the other one, or of the zinc from its usual potential
    std::string why;    ///< a sentence with the limit
    std::string source; ///< of the limit, with its status
};

/// Limits of two cells side by side, [mV].
inline constexpr double good_pair_mv = 5;
inline constexpr double usable_pair_mv = 10;

/// Two cells of one kind side by side in the same water, and the voltage between them, [mV]. Not
/// finite is an error.
Result<CellComparison> compare_cells(double difference_mv);

/// A clean zinc in sea water and its potential against the cell, [mV]. Tells a broken cell from a
/// sound one, but not within 5 mV: the zinc is not known better than that. Zinc films over in water
/// below 30 PSU: an error (out_of_range).
Result<CellComparison> compare_with_zinc(double potential_mv, Scale cell_scale, const Water& water);

} // namespace quaycell
