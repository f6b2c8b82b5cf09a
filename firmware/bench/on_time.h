// For how long something has been on.
#pragma once

#include "bench/findings.h"

namespace quaycell::bench {

class OnTime {
  public:
    void set(bool on, Time now) {
        total_ = total(now);
        since_ = now;
        on_ = on;
    }
    Time total(Time now) const { return on_ ? total_ + (now - since_) : total_; }

  private:
    Time total_{0}, since_{0};
    bool on_ = false;
};

} // namespace quaycell::bench
