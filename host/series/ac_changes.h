// Changes of the alternating current's pickup at the cell.
#pragma once

#include "series/readings.h"

namespace quaycell {

struct AcChange {
    Instant time; ///< of the first reading that shows it
    double before_mv;
    double after_mv;

    bool rises() const { return after_mv > before_mv; }
};

/// Changes by half or more and by 4 mV or more, both our judgement. `shows_hull` has one entry per
/// reading; where it is false AC says nothing of the dock.
std::vector<AcChange> ac_changes(const Readings& trace, const std::vector<bool>& shows_hull,
                                 Milliseconds interval);

} // namespace quaycell
