// Uncertainty of a potential: what it is made of, and the sum.
#pragma once

#include "base/result.h"
#include "electrode/budget_terms.h"
#include "electrode/scale.h"
#include "electrode/spread.h"

#include <optional>
#include <string>
#include <variant>
#include <vector>

namespace quaycell {

struct BudgetLine {
    std::string name;
    double value;     ///< half width or standard deviation, by the distribution
    std::string unit; ///< "mV", "K", "%", "times"
    Distribution distribution;
    ErrorKind kind;
    double sensitivity;              ///< of the potential, [mV/unit]
    std::string source;              ///< with its status in words
    bool comes_with_current = false; ///< none of it without the anodes
    double divided_within = 0;       ///< how well its own width is known, as in RectangularError

    double standard_mv() const; ///< k = 1, [mV]
};

struct Budget {
    std::vector<BudgetLine> lines;

    /// Expanded uncertainty, k = 2: twice the root of the sum of squares, [mV].
    double expanded_mv() const;
    /// The same of the difference between two readings with one cell in one place, with and without
    /// current: what is random counts twice, of the rest only the voltage drop in the water.
    double change_expanded_mv() const;

    /// The sum of the errors, each by its own distribution.
    Spread spread() const;

    /// Of the mean of so many independent readings: random errors shrink with their root,
    /// systematic ones stay whole.
    Budget of_mean(double readings) const;
};

/// "within 15 mV (k = 2)"; where that says nothing of use any more, that it is hardly known.
std::string uncertainty_text(double expanded_mv);

enum class CellCheck {
    checked,   ///< good beside another cell, on the day or before and after
    unchecked, ///< trusted within a wider limit
};

/// The calibration of the logger that took a reading.
struct CalibratedMeter {
    bool two_temperatures;
    double instrument_expanded_mv; ///< k = 2, of what it was compared with
};

/// Of a wet cell with its lead and clip, where nobody states it (our judgement).
inline constexpr double usual_source_kohm = 10;

/// A meter that somebody read and wrote down, as they state it; of a logger's parts it has none.
struct StatedMeter {
    std::optional<double> accuracy_mv; ///< half width, at such potentials; else as of electronics
    double input_mohm;                 ///< input resistance
    double source_kohm; ///< of cell, lead and contact: what the meter's own current flows through
};

/// How much less negative a meter shows a potential because its input draws current through the
/// source, [mV].
double loading_mv(double potential_mv, double input_mohm, double source_kohm);

using Meter = std::variant<CalibratedMeter, StatedMeter>;

/// Budget of a reading taken with a cell on `reading_scale`, put on `shown_on`, after the method of
/// the GUM (JCGM 100:2008). `meter` is there when a calibrated logger took it, or a meter of which
/// somebody states how good it is. Of water known within a range every line is that of the end
/// where it is larger, so that knowing less never looks like knowing more. Water out of range is an
/// error.
Result<Budget> reading_budget(Scale reading_scale, const Water& water, CellCheck check,
                              const BudgetTerms& terms = default_budget_terms(),
                              const std::optional<Meter>& meter = {},
                              Scale shown_on = Scale::agcl_seawater);

/// Budget of a scale conversion alone, without that of the reading. Water out of range is an
/// error.
Result<Budget> conversion_budget(Scale from, Scale to, const Water& water,
                                 const BudgetTerms& terms = default_budget_terms());

} // namespace quaycell
