// What is said of a reading the moment it is taken.
#pragma once

#include "cli/boat.h"
#include "series/conversion.h"
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
    Verdict verdict = Verdict::no_verdict;
    bool recorded;
};

/// Judges readings for one boat, in water at the temperature that the logger measures.
class LiveJudge {
  public:
    static Result<LiveJudge> prepare(const BoatOptions& options, const LoggerFacts& facts);

    LiveLine line(const wire::LiveReading& live, Instant now) const;

    const Boat& boat() const { return boat_; }

  private:
    LiveJudge(Boat boat, Rules rules, const LoggerFacts& facts, bool temperature_given)
        : boat_(std::move(boat)), rules_(std::move(rules)), conversion_(facts),
          temperature_given_(temperature_given) {}

    Boat boat_;
    Rules rules_;
    Conversion conversion_;
    bool temperature_given_;
};

} // namespace quaycell
