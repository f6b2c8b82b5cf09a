// Live readings as Signal K deltas: JSON, SI units.
#pragma once

#include "judging/live_view.h"

#include <string>

namespace quaycell {

/// One line each, ended by CR and LF. The standard has no place for a hull's potential: ours are
/// under "quaycell.DEVICE.", which no group of the standard is called, and signalk_meta() says what
/// they are and in which unit; it is to be sent first.
std::string signalk_delta(const LiveView& view);
std::string signalk_meta(const std::string& device, Instant at);

} // namespace quaycell
