// AC at the cell in live readings, and whether it counts: an open lead hums by itself.
#pragma once

#include "judging/live_view.h"

namespace quaycell {

/// AC above the rule of practice "ac-stop" counts once a look at the leads that follows it finds
/// them closed. Until then, and while the lead is open, it is told as what it may be.
class AcWatch {
  public:
    void take(const LiveLine& line);
    const LiveAc& now() const { return ac_; }

  private:
    void measured(const LiveLine& line);
    void looked(bool is_open);
    void raise_highest(double mv, Instant at);
    void forget_perhaps();

    LiveAc ac_;
    bool lead_open_ = false;     ///< by the last look
    bool perhaps_a_hum_ = false; ///< the lead was found open after it
};

} // namespace quaycell
