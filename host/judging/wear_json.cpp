#include "judging/wear_json.h"

#include "judging/amount.h"
#include "judging/anode_plan_text.h"

#include <boost/json.hpp>

namespace quaycell {

namespace {

/// Of one that is gone only the least rate is known.
boost::json::value unless_gone(const Wear& wear, double value) {
    if (wear.gone_by) return nullptr;
    return value;
}

} // namespace

boost::json::object wear_json(const Wear& wear, Alloy alloy, Instant at) {
    return {{"share_left", amount_json(wear.share_left_at(at))},
            {"rate_g_day",
             {{"middle", unless_gone(wear, wear.rate_middle_g_day)},
              {"low", wear.rate_g_day.low},
              {"high", unless_gone(wear, wear.rate_g_day.high)}}},
            {"current_a", amount_json(current_of_wear_a(wear.rate_g_day, alloy))},
            {"is_wasting", wear.is_wasting},
            {"is_due", wear.is_due},
            {"gone_by", day_json(wear.gone_by)},
            {"renew_from", day_json(wear.renew_from)},
            {"renew_to", day_json(wear.renew_to)}};
}

} // namespace quaycell
