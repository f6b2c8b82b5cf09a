// One point read by the logger, while the clip is held there.
#pragma once

#include "cli/answers.h"
#include "cli/live_point.h"
#include "link/logger.h"

namespace quaycell {

struct SurveyReading {
    std::vector<wire::LiveReading> readings; ///< that the point is made of
    LivePoint point;
    bool settled; ///< else somebody insisted
};

/// Reads until it has settled. "!" takes it as it is, "x" and two minutes without settling give
/// nothing, which is said. Errors: interrupted, and those of the Logger.
Result<std::optional<SurveyReading>> read_point(Logger& logger, const LoggerFacts& facts,
                                                Answers& answers);

} // namespace quaycell
