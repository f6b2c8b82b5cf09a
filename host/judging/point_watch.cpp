#include "judging/point_watch.h"

#include "judging/lead_asking.h"
#include "series/conversion.h"

#include <algorithm>
#include <cmath>

namespace quaycell {

void PointWatch::take(const wire::LiveReading& live) {
    ++seen_;
    looked_ = live.reading.source_a != wire::missing_byte;
    const double ac_mv = Conversion(facts_).ac_mv(live.reading, 0);
    if (!std::isnan(ac_mv)) ac_mv_ = std::max(ac_mv_.value_or(0), ac_mv);
    const Quality quality = Conversion(facts_).quality(live.reading);
    if (shows_the_metal(live, facts_)) {
        last_.push_back(live);
        if (last_.size() > settled_readings) last_.erase(last_.begin());
    } else if (!only_catches_up(quality)) {
        last_.clear();
    }
    ask_for_look(has(quality, Quality::lead_not_good));
}

void PointWatch::ask_for_look(bool is_open) {
    ++since_asked_;
    const auto now = reading();
    const bool to_be_proven = now && now->lies_still() && !looked_;
    wants_look_ = (is_open || to_be_proven) && since_asked_ >= readings_between_urgent_looks;
    if (wants_look_) since_asked_ = 0;
}

std::optional<SurveyReading> PointWatch::reading() const {
    const auto point = point_of(last_, facts_);
    if (!point) return std::nullopt;
    SurveyReading reading{last_, *point, false};
    reading.settled = looked_ && reading.lies_still();
    return reading;
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
