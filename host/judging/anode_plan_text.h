// The plan of the anodes as a list to take along, and as JSON.
#pragma once

#include "diagnosis/anode_plan.h"

#include <boost/json/fwd.hpp>

namespace quaycell {

std::string plan_text(const AnodePlan& plan);
boost::json::object plan_json(const AnodePlan& plan);

/// "2026-05-01T12:00:00Z", or null.
boost::json::value day_json(const std::optional<Instant>& at);

} // namespace quaycell
