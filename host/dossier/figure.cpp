#include "dossier/figure.h"

#include "chart/text.h"
#include "chart/trace_chart.h"
#include "judging/zone_from.h"

#include <algorithm>
#include <CLI/CLI.hpp>
#include <cmath>
#include <fmt/format.h>
#include <string>
#include <vector>

namespace quaycell {

namespace {

constexpr const char* more_negative = "more-negative";

} // namespace

void add_figure_options(CLI::App& command, FigureOptions& options) {
    add_zone_option(command, options.zone);
    command
        .add_option("--up", options.up,
                    "What is upward on the chart: less-negative or more-negative")
        ->type_name("")
        ->check(CLI::IsMember({"less-negative", more_negative}))
        ->capture_default_str();
}

Result<Zone> zone_of(const std::string& name, const Readings& trace) {
    if (trace.time.empty()) return zone_named(name, Instant{}, Instant{});
    return zone_of(name, trace.time.front(), trace.time.back());
}

Result<Zone> zone_of(const std::string& name, Instant first, Instant last) {
    constexpr std::chrono::days margin{400};
    return zone_named(name, first - margin, last + margin);
}

Scene figure_of(const TraceJudgement& judgement, double width_mm, const FigureOptions& options,
                const Zone& zone, const FigureCaption& caption, bool stands_alone,
                const TextWidth& text_width) {
    const Boat& boat = judgement.boat;
    ChartOptions chart;
    // Not known where nothing was judged.
    if (std::isfinite(judgement.explained.expanded_uncertainty_mv))
        chart.expanded_uncertainty_mv = judgement.explained.expanded_uncertainty_mv;
    chart.height_mm *= std::max(1.0, width_mm / chart.width_mm);
    chart.width_mm = width_mm;
    chart.more_negative_up = options.up == more_negative;
    chart.zone = zone;
    chart.with_key = stands_alone;
    std::vector<std::string> below;
    if (stands_alone) {
        if (judgement.rules.conflict)
            below.push_back("Conflict: " + *judgement.rules.conflict + '.');
        below.push_back(caption.text);
    }
    Scene scene =
        draw_trace(judgement.trace, judgement.judged, bands_of(judgement.rules),
                   {"Hull potential",
                    boat.name.empty() ? fmt::format("{} hull", name_of(boat.hull)) : boat.name,
                    boat.berth, period_text(judgement.trace, zone), below},
                   chart, text_width);
    // Read out beside such times; the caption holds some that stay as people wrote them.
    scene.description = with_times_in(scene.description, zone) + ' ' + clean_text(caption.in_full);
    return scene;
}

} // namespace quaycell
