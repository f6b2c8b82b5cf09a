#include "judging/point_watch.h"

#include "series/conversion.h"

#include <algorithm>
#include <cmath>

namespace quaycell {

void PointWatch::take(const wire::LiveReading& live) {
    ++seen_;
    const double ac_mv = Conversion(facts_).ac_mv(live.reading, 0);
    if (!std::isnan(ac_mv)) ac_mv_ = std::max(ac_mv_.value_or(0), ac_mv);
    if (!shows_the_metal(live, facts_)) {
        last_.clear();
        return;
    }
    last_.push_back(live);
    if (last_.size() > settled_readings) last_.erase(last_.begin());
}

std::optional<SurveyReading> PointWatch::reading() const {
    const auto point = point_of(last_, facts_);
    if (!point) return std::nullopt;
    return SurveyReading{last_, *point, is_settled(point->value, last_.size())};
}

bool PointWatch::is_done(bool insisted) const {
    if (has_too_much_ac()) return true;
    const auto now = reading();
    return now && (now->settled || insisted);
}

bool PointWatch::is_too_long() const {
    return seen_ >= longest_watch_readings;
}

PointSeen PointWatch::seen(bool insisted) const {
    PointSeen seen{{}, ac_mv_};
    if (is_done(insisted)) seen.taken = reading();
    return seen;
}

} // namespace quaycell
