// The water of an answer, as JSON and in words.
#pragma once

#include "electrode/water.h"

#include <boost/json/fwd.hpp>
#include <string>

namespace quaycell {

/// {"temperature_c", "salinity_psu" and "resistivity_ohm_m", or "chloride_mg_l"}: a number, or
/// [low, high] for a range.
boost::json::value to_json(const Water& water);

/// What was assumed, as a list of texts.
boost::json::value assumed_json(const Water& water);

/// "13 degC, salinity 22 to 33 PSU"
std::string to_text(const Water& water);

} // namespace quaycell
