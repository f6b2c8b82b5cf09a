#include "cli/figure.h"

#include "chart/trace_chart.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace quaycell {

namespace {

std::string period(const Readings& trace) {
    if (trace.time.empty()) return "";
    const Zone utc;
    if (trace.time.size() == 1) return to_words(trace.time.front(), utc);
    return fmt::format("{} to {}", to_words(trace.time.front(), utc),
                       to_words(trace.time.back(), utc));
}

} // namespace

Scene figure_of(const TraceJudgement& judgement, double width_mm,
                const std::vector<std::string>& caption, const TextWidth& text_width) {
    const Boat& boat = judgement.boat;
    ChartOptions chart;
    // Not known where nothing was judged.
    if (std::isfinite(judgement.explained.expanded_uncertainty_mv))
        chart.expanded_uncertainty_mv = judgement.explained.expanded_uncertainty_mv;
    chart.height_mm *= std::max(1.0, width_mm / chart.width_mm);
    chart.width_mm = width_mm;
    chart.with_key = !caption.empty();
    return draw_trace(judgement.trace, judgement.judged, bands_of(judgement.rules),
                      {"Hull potential",
                       boat.name.empty() ? fmt::format("{} hull", name_of(boat.hull)) : boat.name,
                       boat.berth, period(judgement.trace), caption},
                      chart, text_width);
}

} // namespace quaycell
