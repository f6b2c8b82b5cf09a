// The readings of a trace as JSON.
#pragma once

#include "series/trace.h"

#include <span>
#include <string>
#include <vector>

namespace quaycell {

/// A document with the columns of the trace CSV as keys, null where a reading has no value, one
/// reading a line. `standard_mv`: on agcl/seawater, one value per reading. `assumed`: for those.
/// `joints`: where another deployment goes on.
std::string trace_json(const Trace& trace, std::span<const double> standard_mv,
                       const std::vector<std::string>& assumed,
                       const std::vector<std::string>& remarks);

} // namespace quaycell
