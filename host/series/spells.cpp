#include "series/spells.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace quaycell {

LimitDistance::LimitDistance(const Rules& rules) {
    for (const Rule& rule : rules.rules) {
        if (rule.decides && rule.band.protected_from_mv)
            least_negative_.push_back(*rule.band.protected_from_mv);
        if ((rule.decides || rule.over_counts) && rule.band.over_at_mv)
            most_negative_.push_back(*rule.band.over_at_mv);
    }
}

double LimitDistance::beyond_mv(double standard_mv) const {
    double beyond = -std::numeric_limits<double>::infinity();
    for (const double limit : least_negative_)
        beyond = std::max(beyond, standard_mv - limit);
    for (const double limit : most_negative_)
        beyond = std::max(beyond, limit - standard_mv);
    return beyond;
}

std::optional<double> LimitDistance::strictest_mv() const {
    if (least_negative_.empty()) return std::nullopt;
    return *std::min_element(least_negative_.begin(), least_negative_.end());
}

void SpellMaker::add(Instant time, Milliseconds stands_for, Verdict verdict, double value_mv) {
    const Instant end = time + stands_for;
    const double beyond_mv = distance_.beyond_mv(value_mv);
    if (spells_.empty() || spells_.back().verdict != verdict || spells_.back().to != time) {
        spells_.push_back({time, end, verdict, value_mv});
        worst_beyond_mv_ = beyond_mv;
        return;
    }
    Spell& spell = spells_.back();
    spell.to = end;
    if (!std::isnan(spell.worst_mv) && !(beyond_mv > worst_beyond_mv_)) return;
    spell.worst_mv = value_mv;
    worst_beyond_mv_ = beyond_mv;
}

} // namespace quaycell
