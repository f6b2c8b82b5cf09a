// What a collection came to, for a person and for a program.
#pragma once

#include "collect/collect.h"

#include <boost/json/fwd.hpp>
#include <string>

namespace quaycell {

boost::json::object collect_json(const CollectReport& report);

/// Lines on what is new in `archive`, and on the gaps.
std::string collect_words(const CollectReport& report, const std::string& archive);

/// A line on the sectors that the logger has passed over; none when there are none.
std::string worn_words(std::uint32_t sectors);

} // namespace quaycell
