#include "judging/live_watch.h"

#include "diagnosis/survey_steps.h"
#include "judging/device_name.h"
#include "judging/live_point.h"
#include "survey/settled.h"

#include <cmath>

namespace quaycell {

void LiveWatch::say_shore(const ShoreWord& word) {
    shore_ = ShoreSaid{word, settled_mv_};
    held_mv_.clear();
    drift_.restart();
}

/// Of those that show the metal, the last of one restart of the logger.
void LiveWatch::hold(const LiveLine& line, const wire::RecordHead& head, bool shows_metal) {
    if (head.boot != boot_) {
        boot_ = head.boot;
        held_mv_.clear();
        drift_.restart();
    }
    if (!shows_metal) {
        if (only_catches_up(line.quality)) return;
        held_mv_.clear();
        drift_.restart();
        return;
    }
    held_mv_.push_back(line.potential_mv);
    if (held_mv_.size() > settled_readings) held_mv_.pop_front();
    drift_.take(head.ticks_s, line.potential_mv);
}

ReadingSettling LiveWatch::reading() const {
    if (held_mv_.empty()) return {};
    const PointValue value = value_of(std::vector(held_mv_.begin(), held_mv_.end()));
    return {held_mv_.size(), value.spread_mv, is_settled(value, held_mv_.size())};
}

Instant LiveWatch::rising(Instant now) {
    constexpr std::chrono::seconds set_back{2}; // by more than readings are ever held up for
    const bool follows = now > last_time_ || last_time_ - now > set_back;
    last_time_ = follows ? now : last_time_ + Milliseconds{1};
    return last_time_;
}

LiveView LiveWatch::take(const wire::LiveReading& live, Instant now) {
    const LiveLine line = judge_.line(live, rising(now));
    const bool shows_metal = shows_the_metal(live, facts_);
    hold(line, live.reading.head, shows_metal);
    ac_.take(line);
    // Once AC is known to be too high, how high it is can wait for the logger's own look.
    const LiveAc& ac = ac_.now();
    const bool waited_for =
        (ac.is_perhaps_too_high() && !ac.too_high) || line.lead == LeadState::not_good;
    const bool goes_on = shows_metal || (!held_mv_.empty() && only_catches_up(line.quality));
    LiveView view{facts_.device_id,
                  device_name(facts_.device_id),
                  line,
                  line,
                  goes_on,
                  judge_.boat().cell_scale,
                  judge_.display(),
                  reading(),
                  drift_.now(),
                  ac_.now(),
                  shore_,
                  {},
                  {},
                  asking_.take(line, shows_metal, waited_for)};
    if (view.reading.settled) {
        const PointValue value = value_of(std::vector(held_mv_.begin(), held_mv_.end()));
        // The one that only catches up is worth what those before it are.
        view.shown.quality = without(line.quality, Quality::unsettled);
        view.shown = judge_.at_potential(std::move(view.shown), value.potential_mv);
        settled_mv_ = view.shown.standard_mv;
        if (shore_) view.shore->change_mv = shore_->change_mv = settled_mv_ - shore_->before_mv;
    }
    if (view.ac.is_danger()) {
        view.cautions = words_at(SurveyStep::ac_seen);
        view.cautions.insert(view.cautions.begin(), "AC " + danger_words(view.ac));
    }
    view.words = words_of(view, judge_.boat().water);
    return view;
}

} // namespace quaycell
