// The parts of the trace chart, each drawn into its own group.
#pragma once

#include "base/zone.h"
#include "chart/bands.h"
#include "chart/columns.h"
#include "series/judged.h"

#include <array>

namespace quaycell {

constexpr double plot_axis_width_mm = 12;     ///< room for the value labels, left of the plot
constexpr double plot_axis_height_mm = 14.4;  ///< room for time labels and their title, below it
constexpr double event_marks_height_mm = 4.2; ///< room for events, above the spells
constexpr double plot_label_gap_mm = 2;       ///< between the plot and what stands right of it

/// The part of a band that the plot shows; nothing when there is none.
std::optional<Rectangle> visible(const Plot& plot, const ChartBand& band);

/// Later bands cover earlier ones.
Group draw_bands(const Plot& plot, const std::vector<ChartBand>& bands);

Group draw_limits(const Plot& plot, const std::vector<ChartBand>& bands);

Group draw_gaps(const Plot& plot, std::span<const Gap> gaps, const TextWidth& text_width);
/// The plot's edge, and ticks with their values left of it.
void add_value_axis(Group& group, const Plot& plot, double spacing_mm, double text_mm);
/// The title stands above what is above the plot.
Group draw_value_axis(const Plot& plot, double title_bottom_mm);
Group draw_time_axis(const Plot& plot, const Zone& zone, const TextWidth& text_width);
/// What marks a change of the clocks.
Lines clock_change_line(double x_mm, double top_mm, double bottom_mm);
/// One where the clocks of the zone change.
Group draw_clock_changes(const Plot& plot, const Zone& zone);

/// What marks an event, pointing down.
Polygon event_mark(Point tip);

/// A mark above the plot for every event that has a number, with that, and its kind where there is
/// room for the word.
Group draw_event_marks(const Plot& plot, double tip_mm, const std::vector<Event>& events,
                       const std::vector<std::string>& numbers, const TextWidth& text_width);

/// The verdict over time as a strip on top of the plot, with the numbers of those spells in which
/// the hull was not protected; what is too short to show keeps a width of its own.
Group draw_spell_strip(const Plot& plot, const JudgedTrace& judged, const TextWidth& text_width);
double spell_strip_height_mm(const JudgedTrace& judged);

/// Name, limits and source of every band that the plot shows, in the column `place` right of it.
Group draw_band_labels(const Plot& plot, const Rectangle& place,
                       const std::vector<ChartBand>& bands, const TextWidth& text_width);

/// What else stands in the key below the shares.
struct StripKeys {
    std::optional<double> ribbon_mv; ///< expanded uncertainty that the ribbon shows
    bool has_events = false;         ///< that are marked
    bool clocks_change = false;      ///< which is a dashed line
    bool numbers_below = false;      ///< the key to the numbers follows
};

/// The shares of time as a bar with words and percent below it.
Group draw_share_strip(const Rectangle& place, const JudgedTrace& judged, const StripKeys& keys,
                       const TextWidth& text_width);
double share_strip_height_mm(const JudgedTrace& judged, double width_mm, const StripKeys& keys,
                             const TextWidth& text_width);

/// All verdicts in the order in which they are shown.
constexpr std::array<Verdict, 5> verdicts_in_order{Verdict::under_protected, Verdict::undecided,
                                                   Verdict::protected_, Verdict::over_protected,
                                                   Verdict::no_verdict};

/// The chart in sentences. An uncertainty that is not known is missing_value.
std::string span_text(const Readings& trace);
std::string statistics_text(const JudgedTrace& judged, double expanded_uncertainty_mv);
std::string shares_text(const JudgedTrace& judged);
std::string description_of(const Readings& trace, const JudgedTrace& judged,
                           const std::vector<ChartBand>& bands, double expanded_uncertainty_mv);

} // namespace quaycell
