// The parts of the trace chart, each drawn into its own group.
#pragma once

#include "chart/bands.h"
#include "chart/columns.h"
#include "series/judged.h"

#include <array>

namespace quaycell {

constexpr double plot_axis_width_mm = 12;    ///< room for the value labels, left of the plot
constexpr double plot_axis_height_mm = 13.4; ///< room for time labels and their title, below it
constexpr double plot_marks_height_mm = 4;   ///< room for the marks of events, above it
constexpr double plot_label_gap_mm = 2;      ///< between the plot and what stands right of it

/// Later bands cover earlier ones.
Group draw_bands(const Plot& plot, const std::vector<ChartBand>& bands);

Group draw_limits(const Plot& plot, const std::vector<ChartBand>& bands);

Group draw_gaps(const Plot& plot, std::span<const Gap> gaps, const TextWidth& text_width);
/// The plot's edge, and ticks with their values left of it.
void add_value_axis(Group& group, const Plot& plot, double spacing_mm, double text_mm);
Group draw_value_axis(const Plot& plot);
Group draw_time_axis(const Plot& plot, const TextWidth& text_width);

/// What marks an event, pointing down.
Polygon event_mark(Point tip);

/// A mark above the plot for every event but gaps, with its kind where there is room for the word.
Group draw_event_marks(const Plot& plot, const std::vector<Event>& events,
                       const TextWidth& text_width);

/// Name, limits and source of every band that the plot shows, in the column `place` right of it.
Group draw_band_labels(const Plot& plot, const Rectangle& place,
                       const std::vector<ChartBand>& bands, const TextWidth& text_width);

/// The shares of time as a bar with words and percent below it.
Group draw_share_strip(const Rectangle& place, const JudgedTrace& judged,
                       const TextWidth& text_width);
double share_strip_height_mm(const JudgedTrace& judged, double width_mm,
                             const TextWidth& text_width);

/// All verdicts in the order in which they are shown.
constexpr std::array<Verdict, 5> verdicts_in_order{Verdict::under_protected, Verdict::undecided,
                                                   Verdict::protected_, Verdict::over_protected,
                                                   Verdict::no_verdict};

/// "83.2 %"; a share too small to show is "<0.1 %", one just short of all is ">99.9 %".
std::string percent_text(double share);

/// The chart in sentences.
std::string span_text(const Readings& trace);
std::string statistics_text(const JudgedTrace& judged);
std::string shares_text(const JudgedTrace& judged);
std::string description_of(const Readings& trace, const JudgedTrace& judged,
                           const std::vector<ChartBand>& bands);

} // namespace quaycell
