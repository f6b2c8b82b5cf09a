// From the logger's records, verbatim, to a trace.
#pragma once

#include "base/record_bytes.h"
#include "series/deployments.h"
#include "series/logger_facts.h"
#include "series/trace.h"

#include <span>

namespace quaycell {

/// The trace of one deployment's records, sorted by boot and sequence. Potentials are those of the
/// hull against the cell. Records that are not whole, or come twice, are passed over. Events: gap
/// (sequence numbers that are missing), restart, clock-set.
///
/// Times count from the latest setting or reading of the clock in the same boot, else from the next
/// one, where a ring has overwritten both from the first Check, and rise strictly:
/// - A clock set forward leaves a silence before the setting.
/// - A clock set back moves what it counted before, back to the setting before that, as far back as
///   the ticks say: the later setting knows better. Nothing is squeezed together.
/// - A boot whose clock knew no time follows directly on the boot before it, or precedes the one
///   after. Where it lasted longer than the time between the two, what is left over stands in 1 ms
///   steps.
/// What was moved by more than a second or has no time of its own is marked clock-doubtful. An
/// error when no record knows the time at all.
///
/// `spent`: numbers that the logger gave to no record; they are not missing.
Result<Trace> decode(std::span<const RecordBytes> records, const LoggerFacts& facts,
                     std::span<const SequenceRange> spent = {});

} // namespace quaycell
