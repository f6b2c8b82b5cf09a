#include "series/running_state.h"

#include <algorithm>

namespace quaycell {

namespace {

constexpr int pairs_that_count = 16; // as many as a Check record sums in an hour

} // namespace

void RunningState::take(const wire::LiveReading& live) {
    if (live.zero == wire::missing_code || live.reference == wire::missing_code) return;
    pairs_ = std::min(pairs_ + 1, pairs_that_count);
    const double share = 1.0 / pairs_;
    // Of the first pair all counts, whatever the calibration found.
    const double reference = live.reference - live.zero;
    const double before = now_.reference.value_or(reference);
    now_.zero += (live.zero - now_.zero) * share;
    now_.reference = before + (reference - before) * share;
}

} // namespace quaycell
