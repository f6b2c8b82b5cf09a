// One point read by the logger, while the clip is held there.
#pragma once

#include "cli/answers.h"
#include "judging/point_watch.h"
#include "link/logger.h"

namespace quaycell {

/// Reads until it has settled, or until AC above `ac_stop_mv` is seen. "!" takes it as it is, "x"
/// and two minutes without settling take nothing, which is said. Errors: interrupted, and those of
/// the Logger.
Result<PointSeen> read_point(Logger& logger, const LoggerFacts& facts, double ac_stop_mv,
                             Answers& answers);

} // namespace quaycell
