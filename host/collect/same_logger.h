// Whether a logger is the one of which the archive holds records under its number. Two loggers that
// were given one number by mistake must neither be mixed nor get in each other's way.
#pragma once

#include "archive/archive.h"

namespace quaycell {

/// What a log says of itself at its ends.
struct LogEnds {
    std::uint32_t device;
    std::uint16_t oldest_boot; ///< of its oldest whole record
    std::uint16_t newest_boot;
    std::uint32_t tail;
    std::uint32_t next;
    std::optional<Instant> first_time; ///< that one of its oldest records states
    bool is_copy = false;              ///< taken at any time, perhaps before what is held
};

/// The ends of a log by some of its oldest slots.
LogEnds ends_by(std::span<const SequencedRecord> oldest, std::uint32_t device,
                std::uint16_t newest_boot, std::uint32_t tail, std::uint32_t next);

/// For a log of which no record is known to be held. One logger's restarts and times only ever
/// rise, and without a restart its numbers do; a new memory counts from the beginning, but under
/// later restarts. Error: refused, when what is held contradicts that.
Result<Done> check_same_logger(Archive& archive, const LogEnds& log, const std::string& where);

/// Likewise by the day of the calibration.
Result<Done> check_same_calibration(Archive& archive, std::uint32_t device,
                                    const wire::Calibration& calibration, const std::string& where);

} // namespace quaycell
