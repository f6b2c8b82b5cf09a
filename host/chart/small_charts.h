// What was measured beside the potential, in small charts of their own on the same time axis.
#pragma once

#include "chart/columns.h"
#include "series/readings.h"

#include <span>
#include <string>
#include <vector>

namespace quaycell {

struct SmallChart {
    std::string title; ///< with its unit: "AC at the cell, mV rms"
    Column<double> values;
    bool is_potential = false; ///< stands the same way up as the hull's
};

constexpr double small_chart_step_mm = 20; ///< from one to the next, its title included

/// Those that the trace has anything for: AC, the second cell, the water's temperature.
std::vector<SmallChart> small_charts_of(const Readings& trace);

/// The plot of `chart`, which begins at `top_mm`, for what is drawn in it: its time is that of
/// `above`, the hull's.
Plot small_plot(const Plot& above, const SmallChart& chart, double top_mm, const DrawnLines& lines);

Group draw_small_chart(const Plot& plot, const std::string& title, const DrawnLines& drawn,
                       std::span<const Gap> gaps);

} // namespace quaycell
