// What has to be known of a logger to read its raw codes.
#pragma once

#include "series/trace.h"
#include "wire/messages.h"

#include <cstdint>
#include <optional>

namespace quaycell {

struct LoggerFacts {
    std::uint32_t device_id = 0;
    wire::Circuit circuit{};
    std::optional<wire::Calibration> calibration;
};

/// Of a valid calibration.
std::optional<LoggerCalibration> calibration_of(const LoggerFacts& facts);

} // namespace quaycell
