// Uncertainty of a potential: what it is made of, and the sum.
#pragma once

#include "base/result.h"
#include "electrode/scale.h"

#include <string>
#include <vector>

namespace quaycell {

/// From standard to expanded uncertainty: about 95 % of a normal distribution.
inline constexpr double coverage_factor = 2;

struct BudgetLine {
    std::string name;
    double standard_mv; ///< k = 1, [mV]
    std::string source; ///< with its status in words
    bool systematic;    ///< stays the same from reading to reading: never averaged away
};

struct Budget {
    std::vector<BudgetLine> lines;

    /// Expanded uncertainty, k = 2: twice the root of the sum of squares, [mV].
    double expanded_mv() const;
    /// The same of the difference between two readings with one cell in one place, with and without
    /// current: what is random counts twice, of the rest only the voltage drop in the water.
    double change_expanded_mv() const;
};

/// "within 15.2 mV (k = 2)"; where that says nothing of use any more, that it is hardly known.
std::string uncertainty_text(double expanded_mv);

enum class CellCheck {
    same_day,  ///< compared with another cell or a clean anode on the day, within 5 mV
    unchecked, ///< trusted within 10 mV
};

/// Budget of a reading taken with a cell on `reading_scale`, put on agcl/seawater. Of water known
/// within a range every line is that of the end where it is larger, so that knowing less never
/// looks like knowing more. Water out of range is an error.
Result<Budget> reading_budget(Scale reading_scale, const Water& water, CellCheck check);

/// Budget of a scale conversion alone, without that of the reading. Water out of range is an
/// error.
Result<Budget> conversion_budget(Scale from, Scale to, const Water& water);

} // namespace quaycell
