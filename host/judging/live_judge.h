// What is said of a reading the moment it is taken.
#pragma once

#include "judging/boat.h"
#include "protection/judge.h"
#include "series/lead_looks.h"
#include "series/running_state.h"
#include "wire/messages.h"

namespace quaycell {

/// One live reading, with all that is said of it.
struct LiveLine {
    Instant time;
    double potential_mv;
    double temperature_c;
    double battery_mv;
    Quality quality;
    double standard_mv = missing_value;
    double expanded_uncertainty_mv = missing_value;
    Judgement judgement; ///< no verdict and no rows where the reading is no good, or cell and
                         ///< leads were not looked at yet
    bool recorded;
    double cell_b_mv = missing_value;
    double ac_mv = missing_value; ///< rms; measured every ten seconds
    LeadState lead = LeadState::unknown;
    double source_ohm = missing_value;   ///< as last looked at
    std::string lead_words{};            ///< what is the matter with cell and leads
    double looked_ago_s = missing_value; ///< at the leads; 0: with this reading
    double display_mv = missing_value;   ///< on the scale that was chosen to be shown
    double display_expanded_mv = missing_value;
};

/// Judges readings for one boat, in water at the temperature that the logger measures.
class LiveJudge {
  public:
    /// The criteria are chosen for water of the temperature of `first`, unless one was given.
    /// `display`: the scale that the potential is shown on; it is judged on agcl/seawater all the
    /// same. Errors besides those of the boat: out_of_range, where this water has no such scale.
    static Result<LiveJudge> prepare(const BoatOptions& options, const LoggerFacts& facts,
                                     const wire::LiveReading& first,
                                     Scale display = Scale::agcl_seawater);

    LiveLine line(const wire::LiveReading& live, Instant now);

    /// The same reading with another potential against the cell in the place of its own.
    LiveLine at_potential(LiveLine line, double potential_mv) const;

    const Boat& boat() const { return boat_; }
    Scale display() const { return display_; }

  private:
    LiveJudge(Boat boat, Rules rules, const LoggerFacts& facts, bool temperature_given,
              Scale display)
        : boat_(std::move(boat)), rules_(std::move(rules)), conversion_(facts),
          converter_(conversion_), circuit_(facts.circuit), temperature_given_(temperature_given),
          display_(display) {}

    void look_at_leads(const wire::Reading& reading, LiveLine& line);
    void put_on_display(LiveLine& line, const Water& water, CellCheck check) const;

    Boat boat_;
    Rules rules_;
    Conversion conversion_;
    RunningState converter_;
    wire::Circuit circuit_;
    LeadLook look_{0, wire::missing_byte, wire::missing_byte}; ///< the last
    std::uint32_t look_tick_s_ = 0;
    std::uint16_t boot_ = 0;
    bool temperature_given_;
    Scale display_;
};

} // namespace quaycell
