// From the logger's records, verbatim, to a trace.
#pragma once

#include "series/trace.h"
#include "wire/messages.h"

#include <array>

namespace quaycell {

using RecordBytes = std::array<std::uint8_t, wire::record_size>;

/// What has to be known of a logger to read its raw codes.
struct LoggerFacts {
    std::uint32_t device_id = 0;
    wire::Circuit circuit{};
    std::optional<wire::Calibration> calibration;
};

/// One arming of a logger until the next. `first` and `count` are places in the records given.
struct Deployment {
    std::uint32_t number = 0; ///< counts from 1
    std::size_t first = 0;
    std::size_t count = 0;
    std::size_t readings = 0;
    Instant armed_at{}; ///< 1970 when the clock was not set then, or the Arm record is lost
    std::uint16_t interval_s = 0; ///< 0 when neither Arm record nor sector header tells it
};

/// Finds the deployments in one logger's records, sorted by boot and sequence. Readings before the
/// first Arm record (a ring has overwritten it) are a deployment too.
std::vector<Deployment> deployments_of(std::span<const RecordBytes> records);

/// The trace of one deployment's records, sorted by boot and sequence. Potentials are those of the
/// hull against the cell. Records that are not whole, or come twice, are passed over. Events: gap
/// (sequence numbers that are missing), restart, clock-set.
///
/// Times count from the latest setting or reading of the clock in the same boot, else from the next
/// one. A boot whose clock knew no time follows directly on the boot before it (or precedes the one
/// after) and is marked clock-doubtful, as is what a clock set back would otherwise put out of
/// order. An error when no record knows the time at all.
Result<Trace> decode(std::span<const RecordBytes> records, const LoggerFacts& facts);

} // namespace quaycell
