#include "judging/hull_reading.h"

#include <algorithm>

namespace quaycell {

std::optional<HullReading> hull_reading(const TraceJudgement& judged) {
    const auto& time = judged.trace.time;
    if (time.empty()) return std::nullopt;
    HullReading reading{judged.judged.overall, std::nullopt, time.front(), time.back()};
    for (const Event& event : judged.judged.events)
        if (event.kind == EventKind::shore_power_on || event.kind == EventKind::shore_power_off)
            reading.plugged = true;
    return reading;
}

std::optional<HullReading> hull_reading(const JudgedSurvey& judged) {
    const auto& points = judged.assessment.points;
    const auto hull = std::ranges::find_if(
        points, [](const PointResult& each) { return each.point->role == PointRole::hull; });
    if (hull == points.end()) return std::nullopt;
    HullReading reading{hull->judgement.verdict, std::nullopt, judged.first, judged.last};
    if (std::ranges::any_of(
            points, [](const PointResult& each) { return each.state.shore == ShoreCord::plugged; }))
        reading.plugged = true;
    return reading;
}

} // namespace quaycell
