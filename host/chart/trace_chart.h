// The chart of a judged trace: potential over time, before the bands of the criterion.
#pragma once

#include "base/zone.h"
#include "chart/bands.h"
#include "chart/scene.h"
#include "series/judged.h"

namespace quaycell {

/// What stands around the chart, in words.
struct ChartFacts {
    std::string title;                ///< what is shown
    std::string boat;                 ///< may be empty
    std::string place;                ///< may be empty
    std::string period;               ///< from when to when; may be empty
    std::vector<std::string> caption; ///< paragraphs below
};

struct ChartOptions {
    double width_mm = 180; ///< 120 to 1000; fits an A4 page between its margins
    /// 100 to 1000; key, caption and the small charts come on top of it.
    double height_mm = 126;
    /// Expanded uncertainty (k = 2) of a reading; given, it is shown as a ribbon round the trace,
    /// and so is the strip beside each limit in which nothing can be decided, [mV].
    std::optional<double> expanded_uncertainty_mv;
    bool more_negative_up = false; ///< as some trades draw it
    Zone zone;                     ///< whose clocks the time axis follows
    bool with_key = false;         ///< events and spells by their numbers, below
};

/// Draws judged.standard_mv over trace.time: more negative, so better protected, is lower, unless
/// the options ask for the other way. Events and spells bear the numbers of numbered.h. What
/// else the trace has stands below, on the same time axis. Every reading's extreme is in the
/// picture and however long the trace, the picture stays small. Sizes outside their range are
/// brought into it.
Scene draw_trace(const Readings& trace, const JudgedTrace& judged,
                 const std::vector<ChartBand>& bands, const ChartFacts& facts,
                 const ChartOptions& options, const TextWidth& text_width);

} // namespace quaycell
