// The chart of an anode's wear, from what is known of it.
#pragma once

#include "anode/wear.h"
#include "chart/wear_chart.h"

namespace quaycell {

/// Weighings, the line through them as far as `now` or the day on which it is due, but no farther
/// than it meets 0, and between which days it is due; what is more than five years off is not
/// shown. Days are those of UTC.
AnodeWear wear_figure(const FittedAnode& anode, const Wear& wear, double renew_at_gone,
                      Instant now);

} // namespace quaycell
