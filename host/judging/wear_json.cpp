#include "judging/wear_json.h"

#include "judging/amount.h"
#include "judging/anode_plan_text.h"

#include <boost/json.hpp>

namespace quaycell {

boost::json::object wear_json(const Wear& wear, Alloy alloy, Instant at) {
    return {{"share_left", amount_json(wear.share_left_at(at))},
            {"rate_g_day",
             {{"middle", wear.rate_middle_g_day},
              {"low", wear.rate_g_day.low},
              {"high", wear.rate_g_day.high}}},
            {"current_a", amount_json(current_of_wear_a(wear.rate_g_day, alloy))},
            {"is_wasting", wear.is_wasting},
            {"is_due", wear.is_due},
            {"renew_from", day_json(wear.renew_from)},
            {"renew_to", day_json(wear.renew_to)}};
}

} // namespace quaycell
