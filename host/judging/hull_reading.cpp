#include "judging/hull_reading.h"

#include <algorithm>

namespace quaycell {

std::optional<HullReading> hull_reading(const TraceJudgement& judged) {
    const auto& time = judged.trace.time;
    if (time.empty()) return std::nullopt;
    return HullReading{judged.judged.overall, time.front(), time.back()};
}

std::optional<HullReading> hull_reading(const JudgedSurvey& judged) {
    const auto& points = judged.assessment.points;
    const auto hull = std::ranges::find_if(
        points, [](const PointResult& each) { return each.point->role == PointRole::hull; });
    if (hull == points.end()) return std::nullopt;
    return HullReading{hull->judgement.verdict, judged.first, judged.last};
}

} // namespace quaycell
