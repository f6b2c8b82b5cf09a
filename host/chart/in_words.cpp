#include "chart/trace_parts.h"

#include "chart/told.h"

#include <cmath>
#include <fmt/format.h>

namespace quaycell {

std::string statistics_text(const JudgedTrace& judged, double expanded_uncertainty_mv) {
    const Statistics& found = judged.statistics;
    if (std::isnan(found.median_mv)) return "No reading on agcl/seawater.";
    const auto mv = [&](double value) { return told_mv(value, expanded_uncertainty_mv); };
    if (judged.standard_mv.size() == 1)
        return fmt::format("One reading: {} mV.", mv(found.median_mv));
    if (judged.covered_s == 0)
        return fmt::format("Two readings: {} and {} mV.", mv(found.max_mv), mv(found.min_mv));
    return fmt::format("Median {} mV; nine tenths of the time {} to {} mV; extremes {} and {} mV.",
                       mv(found.median_mv), mv(found.p95_mv), mv(found.p5_mv), mv(found.max_mv),
                       mv(found.min_mv));
}

std::string span_text(const Readings& trace) {
    const std::size_t count = trace.time.size();
    if (count == 0) return "No reading.";
    if (count == 1) return fmt::format("1 reading at {}.", to_text(trace.time.front()));
    return fmt::format("{} readings from {} to {}.", count, to_text(trace.time.front()),
                       to_text(trace.time.back()));
}

std::string shares_text(const JudgedTrace& judged) {
    std::string text;
    for (const Verdict verdict : verdicts_in_order) {
        const double share = judged.share.of(verdict);
        if (share == 0) continue;
        if (!text.empty()) text += ", ";
        text += fmt::format("{} {}", name_of(verdict), percent_text(share));
    }
    return text;
}

std::string description_of(const Readings& trace, const JudgedTrace& judged,
                           const std::vector<ChartBand>& bands, double expanded_uncertainty_mv) {
    std::string text = span_text(trace) + ' ' + statistics_text(judged, expanded_uncertainty_mv);
    for (const ChartBand& band : bands) {
        const std::string limits = limits_text(band);
        text += fmt::format(" Band {}{}{}.", band.label, limits.empty() ? "" : ": ", limits);
    }
    if (!trace.time.empty())
        text += fmt::format(" Share of the {}: {}. Overall: {}.",
                            judged.covered_s == 0 ? "readings" : "time covered",
                            shares_text(judged), name_of(judged.overall));
    if (!judged.gaps.empty())
        text += fmt::format(" {} gap{} without reading.", judged.gaps.size(),
                            judged.gaps.size() == 1 ? "" : "s");
    return text;
}

} // namespace quaycell
