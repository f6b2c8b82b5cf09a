#include "series/spells.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace quaycell {

namespace {

std::size_t place_of(Verdict verdict) {
    return static_cast<std::size_t>(verdict);
}

/// Of those that held equally long the one that is known to.
template <std::size_t count>
Verdict longest_held(const std::array<Milliseconds, count>& held, Verdict known) {
    std::size_t longest = place_of(known);
    for (std::size_t i = 0; i < count; ++i)
        if (held.at(i) > held.at(longest)) longest = i;
    return static_cast<Verdict>(longest);
}

} // namespace

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

std::optional<double> LimitDistance::end_less_negative_mv() const {
    if (std::isinf(least_negative_)) return std::nullopt;
    return least_negative_;
}

std::optional<double> LimitDistance::end_more_negative_mv() const {
    if (std::isinf(most_negative_)) return std::nullopt;
    return most_negative_;
}

void SpellMaker::take(Part& part, Instant end, Milliseconds stands_for, Verdict verdict,
                      double value_mv) const {
    part.to = end;
    part.held.at(place_of(verdict)) += stands_for;
    const double beyond_mv = distance_.beyond_mv(value_mv);
    if (!std::isnan(part.worst_mv) && !(beyond_mv > part.beyond_mv)) return;
    part.worst_mv = value_mv;
    part.beyond_mv = beyond_mv;
}

void SpellMaker::join(Part& part, const Part& next) {
    part.to = next.to;
    for (std::size_t i = 0; i < part.held.size(); ++i)
        part.held.at(i) += next.held.at(i);
    if (std::isnan(next.worst_mv)) return;
    if (!std::isnan(part.worst_mv) && !(next.beyond_mv > part.beyond_mv)) return;
    part.worst_mv = next.worst_mv;
    part.beyond_mv = next.beyond_mv;
}

void SpellMaker::tell(const Part& part, Verdict verdict) {
    const Milliseconds lasted = part.to - part.from;
    const double held = lasted.count() == 0
                            ? 1
                            : static_cast<double>(part.held.at(place_of(verdict)).count()) /
                                  static_cast<double>(lasted.count());
    spells_.push_back({part.from, part.to, verdict, held, part.worst_mv});
}

/// Where a silence cuts a spell short it may be another verdict that held longest.
void SpellMaker::close() {
    if (!is_open_) return;
    if (ahead_.count() > 0) join(spell_, doubtful_);
    tell(spell_, longest_held(spell_.held, verdict_));
    ahead_ = Milliseconds{0};
    is_open_ = false;
}

void SpellMaker::add(Instant time, Milliseconds stands_for, Verdict verdict, double value_mv) {
    const Instant end = time + stands_for;
    const Instant so_far = ahead_.count() > 0 ? doubtful_.to : spell_.to;
    if (is_open_ && so_far != time) close();
    if (!is_open_) {
        spell_ = {time, time};
        verdict_ = verdict;
        is_open_ = true;
    }
    const bool is_own = verdict == verdict_;
    if (is_own && ahead_.count() == 0) return take(spell_, end, stands_for, verdict, value_mv);
    if (ahead_.count() == 0) doubtful_ = {time, time};
    take(doubtful_, end, stands_for, verdict, value_mv);
    ahead_ += is_own ? -stands_for : stands_for;
    if (ahead_.count() <= 0) {
        join(spell_, doubtful_);
        ahead_ = Milliseconds{0};
    } else if (ahead_ >= other_spell_after) {
        tell(spell_, verdict_);
        spell_ = doubtful_;
        doubtful_.held.at(place_of(verdict_)) = Milliseconds{0};
        verdict_ = longest_held(doubtful_.held, verdict);
        ahead_ = Milliseconds{0};
    }
}

std::vector<Spell> SpellMaker::spells() && {
    close();
    return std::move(spells_);
}

} // namespace quaycell
