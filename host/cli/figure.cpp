#include "cli/figure.h"

#include "chart/trace_chart.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace quaycell {

namespace {

std::string subtitle(const Boat& boat) {
    if (boat.name.empty()) return fmt::format("{} hull", name_of(boat.hull));
    return boat.berth.empty() ? boat.name : boat.name + ", " + boat.berth;
}

std::string period(const Readings& trace) {
    if (trace.time.empty()) return "";
    return fmt::format("{} to {}", to_text(trace.time.front()), to_text(trace.time.back()));
}

} // namespace

Scene figure_of(const TraceJudgement& judgement, double width_mm,
                const std::vector<std::string>& caption, const TextWidth& text_width) {
    ChartOptions chart;
    // Not known where nothing was judged.
    if (std::isfinite(judgement.explained.expanded_uncertainty_mv))
        chart.expanded_uncertainty_mv = judgement.explained.expanded_uncertainty_mv;
    chart.height_mm *= std::max(1.0, width_mm / chart.width_mm);
    chart.width_mm = width_mm;
    return draw_trace(
        judgement.trace, judgement.judged, bands_of(judgement.rules),
        {"Hull potential", subtitle(judgement.boat), period(judgement.trace), caption}, chart,
        text_width);
}

} // namespace quaycell
