// From live readings, one after another, to what there is to show.
#pragma once

#include "judging/ac_watch.h"
#include "judging/lead_asking.h"

#include <deque>

namespace quaycell {

class LiveWatch {
  public:
    LiveWatch(LiveJudge judge, LoggerFacts facts)
        : judge_(std::move(judge)), facts_(std::move(facts)) {}

    /// Whoever looks on says so at this time. The cell is watched anew from here.
    void say_shore(const ShoreWord& word);

    /// Readings that were held up come at once: times rise by a millisecond at least, as a trace
    /// has to have them, but where the clock was set back.
    LiveView take(const wire::LiveReading& live, Instant now);

    const LiveJudge& judge() const { return judge_; }

  private:
    Instant rising(Instant now);
    void hold(const LiveLine& line, const wire::RecordHead& head, bool shows_metal);
    ReadingSettling reading() const;

    LiveJudge judge_;
    LoggerFacts facts_;
    std::deque<double> held_mv_; ///< potentials against the cell, the last of those that count
    CellDrift drift_;
    std::uint16_t boot_ = 0;
    Instant last_time_{};
    AcWatch ac_;
    LeadAsking asking_;
    std::optional<ShoreSaid> shore_;
    double settled_mv_ = missing_value; ///< on agcl/seawater, what last settled
};

/// "TOO HIGH: 120 mV rms at 10:11:12Z, 50 is the limit". Of AC that is a danger.
std::string danger_words(const LiveAc& ac);

/// What the words of a view are made of the rest of it.
LiveWords words_of(const LiveView& view, const Water& water);

} // namespace quaycell
