// When to ask a logger to look at its leads. It does so every minute by itself, and a lead that has
// opened meanwhile looks as good as before: the input filter holds the last value.
#pragma once

#include "judging/live_judge.h"

namespace quaycell {

/// A look and the rest after it take four readings: so many lie between two that are asked for.
inline constexpr int readings_between_asked_looks = 10;
/// Where somebody waits for it: the clip is to be put on, AC to be told from the hum of an open
/// lead.
inline constexpr int readings_between_urgent_looks = 5;

/// AC that has changed by so much since the last look may be the hum of a lead that has opened: 20
/// pF to a mains wire make 14 mV rms (simulated). Our judgement.
inline constexpr double hum_change_mv = 5;

class LeadAsking {
  public:
    /// Whether to ask now: the potential has jumped since the last look, as from metal to metal; AC
    /// has changed; or it is `urgent`. Of a logger that records only what is urgent: the readings
    /// after a look do not count, and whoever looks on is not to make a gap in the evidence.
    bool take(const LiveLine& line, bool shows_metal, bool urgent);

  private:
    double ac_mv_ = missing_value; ///< the last
    double potential_then_mv_ = missing_value;
    double ac_then_mv_ = missing_value;
    int since_asked_ = 0; ///< going live is a question, too
    bool records_ = false;
};

} // namespace quaycell
