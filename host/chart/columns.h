// A long trace in as few points as show all of it.
#pragma once

#include "chart/scene.h"
#include "series/coverage.h"

#include <span>

namespace quaycell {

/// Where a trace is drawn: a time span across, a range of values upward or downward.
struct Plot {
    Rectangle place;
    Instant from;
    Instant to;
    double low;
    double high;
    bool low_on_top = false;

    double x_mm(Instant time) const;
    double y_mm(double value) const;
};

/// A reading that is drawn.
struct DrawnReading {
    Instant time;
    double value;
};
using DrawnLines = std::vector<std::vector<DrawnReading>>;

/// The trace as lines. Of each column `column_mm` wide the first, lowest, highest and last reading
/// are kept, so that no extreme is lost: the range of what is drawn is that of the trace. A gap or
/// a missing value ends a line, unless the reading after it is still in the same column; a reading
/// alone between two of them is a line of one. Of the plot, only time and width count.
DrawnLines drawn_lines(const Plot& plot, const Column<Instant>& time, const Column<double>& values,
                       std::span<const Gap> gaps, double column_mm);

/// Where they stand in the plot.
std::vector<std::vector<Point>> points_of(const Plot& plot, const DrawnLines& lines);

} // namespace quaycell
