// The chart of a judged trace: potential over time, before the bands of the criterion.
#pragma once

#include "chart/bands.h"
#include "chart/scene.h"
#include "series/judged.h"

namespace quaycell {

/// What stands around the chart, in words.
struct ChartFacts {
    std::string title;                ///< what is shown
    std::string subtitle;             ///< boat, place; may be empty
    std::string period;               ///< from when to when; may be empty
    std::vector<std::string> caption; ///< paragraphs below: method, corrections, uncertainty
};

struct ChartOptions {
    double width_mm = 180; ///< 120 to 1000; fits an A4 page between its margins
    /// 90 to 1000; the caption and the small charts come on top of it.
    double height_mm = 120;
    /// Expanded uncertainty (k = 2) of a reading; given, the strip beside each limit in which
    /// nothing can be decided is shown, [mV].
    std::optional<double> expanded_uncertainty_mv;
};

/// Draws judged.standard_mv over trace.time: more negative, so better protected, is lower. What
/// else the trace has stands below, on the same time axis. Every reading's extreme is in the
/// picture and however long the trace, the picture stays small. Sizes outside their range are
/// brought into it.
Scene draw_trace(const Readings& trace, const JudgedTrace& judged,
                 const std::vector<ChartBand>& bands, const ChartFacts& facts,
                 const ChartOptions& options, const TextWidth& text_width);

} // namespace quaycell
