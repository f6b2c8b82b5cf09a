#include "judging/lead_asking.h"

#include "survey/cell_drift.h"

#include <cmath>

namespace quaycell {

bool LeadAsking::take(const LiveLine& line, bool shows_metal, bool urgent) {
    ++since_asked_;
    records_ = records_ || line.recorded;
    if (!std::isnan(line.ac_mv)) ac_mv_ = line.ac_mv;
    if (line.looked_ago_s == 0) {
        potential_then_mv_ = line.potential_mv;
        ac_then_mv_ = ac_mv_;
    }
    const bool jumped =
        shows_metal && std::abs(line.potential_mv - potential_then_mv_) > cell_jump_mv;
    const bool hums = std::abs(ac_mv_ - ac_then_mv_) > hum_change_mv;
    if (!urgent && (records_ || (!jumped && !hums))) return false;
    if (since_asked_ < (urgent ? readings_between_urgent_looks : readings_between_asked_looks))
        return false;
    since_asked_ = 0;
    return true;
}

} // namespace quaycell
