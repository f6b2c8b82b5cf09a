// Amounts as people type them, one number or two.
#pragma once

#include "base/range.h"
#include "base/result.h"

#include <boost/json/fwd.hpp>
#include <string>

namespace quaycell {

/// "15", or "15-25" for what lies between; nothing below zero. Error (wrong_usage) with the
/// option's name.
Result<Range> amount_from(const std::string& typed, const std::string& option);

/// "0.30x0.15x0.04": what a box of these measures holds, [m3]. Error (wrong_usage) with the
/// option's name; none of them is zero.
Result<double> box_m3_from(const std::string& typed, const std::string& option);

/// A number, or {"low", "high"} where they differ; null where it is not finite.
boost::json::value amount_json(Range amount);

/// "15", "15 to 25", "15 or more": so many significant digits.
std::string amount_text(Range amount, int digits = 3);

} // namespace quaycell
