// One point read by the logger, while the clip is held there.
#pragma once

#include "cli/answers.h"
#include "judging/live_point.h"
#include "link/logger.h"

namespace quaycell {

struct SurveyReading {
    std::vector<wire::LiveReading> readings; ///< that the point is made of
    LivePoint point;
    bool settled; ///< else somebody insisted
};

struct PointSeen {
    std::optional<SurveyReading> taken;
    std::optional<double> ac_mv; ///< the highest of all that was seen, [mV rms], taken or not
};

/// Reads until it has settled, or until AC above `ac_stop_mv` is seen, whatever else the reading is
/// like. "!" takes it as it is, "x" and two minutes without settling take nothing, which is said.
/// Errors: interrupted, and those of the Logger.
Result<PointSeen> read_point(Logger& logger, const LoggerFacts& facts, double ac_stop_mv,
                             Answers& answers);

} // namespace quaycell
