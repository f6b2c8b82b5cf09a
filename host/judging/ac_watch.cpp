#include "judging/ac_watch.h"

#include "diagnosis/practice.h"

#include <cmath>

namespace quaycell {

void AcWatch::take(const LiveLine& line) {
    // A reading that has both measures AC first.
    if (!std::isnan(line.ac_mv)) measured(line);
    if (line.looked_ago_s == 0) looked(line.lead == LeadState::not_good);
}

void AcWatch::measured(const LiveLine& line) {
    ac_.last_mv = line.ac_mv;
    ac_.at_least = has(line.quality, Quality::ac_clipped);
    if (line.ac_mv > practice("ac-stop")) {
        if (ac_.too_high && line.ac_mv <= ac_.highest_mv) return; // known already
        const bool is_no_more = ac_.is_perhaps_too_high() && line.ac_mv <= ac_.perhaps_mv;
        const bool is_after_a_hum = perhaps_a_hum_ && !lead_open_;
        if (is_no_more && !is_after_a_hum) return;
        ac_.perhaps_mv = line.ac_mv;
        ac_.perhaps_at = line.time;
        perhaps_a_hum_ = lead_open_;
        return;
    }
    if (lead_open_) return; // tells nothing of the hull
    raise_highest(line.ac_mv, line.time);
    if (perhaps_a_hum_) forget_perhaps();
}

void AcWatch::looked(bool is_open) {
    lead_open_ = is_open;
    if (!ac_.is_perhaps_too_high()) return;
    if (is_open) {
        perhaps_a_hum_ = true;
    } else if (!perhaps_a_hum_) {
        raise_highest(ac_.perhaps_mv, ac_.perhaps_at);
        forget_perhaps();
    }
}

void AcWatch::raise_highest(double mv, Instant at) {
    if (mv <= ac_.highest_mv) return;
    ac_.highest_mv = mv;
    ac_.highest_at = at;
    ac_.too_high = mv > practice("ac-stop");
}

void AcWatch::forget_perhaps() {
    ac_.perhaps_mv = missing_value;
    perhaps_a_hum_ = false;
}

} // namespace quaycell
