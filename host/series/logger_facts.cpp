#include "series/logger_facts.h"

namespace quaycell {

std::optional<LoggerCalibration> calibration_of(const LoggerFacts& facts) {
    const auto& held = facts.calibration;
    if (!held || (held->flags & wire::calibration_valid) == 0) return std::nullopt;
    return LoggerCalibration{
        {(held->flags & wire::calibration_two_temperatures) != 0, held->uncertainty_uv / 1000.0},
        from_unix_s(held->unix_s),
        from_unix_s(held->due_unix_s)};
}

} // namespace quaycell
