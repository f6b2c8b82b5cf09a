// What the weighings of an anode come to, as JSON.
#pragma once

#include "anode/wear.h"

#include <boost/json/fwd.hpp>

namespace quaycell {

/// {"share_left","rate_g_day","current_a","is_wasting","is_due","gone_by",
/// "renew_from","renew_to"}, the share
/// on that day.
boost::json::object wear_json(const Wear& wear, Alloy alloy, Instant at);

} // namespace quaycell
