#include "series/spells.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace quaycell {

LimitDistance::LimitDistance(const Rules& rules) {
    for (const Rule& rule : rules.rules) {
        if (rule.decides && rule.band.protected_from_mv)
            least_negative_ = std::min(least_negative_, *rule.band.protected_from_mv);
        if ((rule.decides || rule.over_counts) && rule.band.over_at_mv)
            most_negative_ = std::max(most_negative_, *rule.band.over_at_mv);
    }
}

double LimitDistance::beyond_mv(double standard_mv) const {
    double beyond = -std::numeric_limits<double>::infinity();
    beyond = std::max(beyond, standard_mv - least_negative_);
    return std::max(beyond, most_negative_ - standard_mv);
}

std::optional<double> LimitDistance::strictest_mv() const {
    if (std::isinf(least_negative_)) return std::nullopt;
    return least_negative_;
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
