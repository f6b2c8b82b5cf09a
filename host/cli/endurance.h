// For how long a logger's memory and batteries last.
#pragma once

#include "wire/messages.h"

#include <chrono>
#include <cstdint>

namespace quaycell {

/// How long a memory of so many sectors lasts from arming on, [s]: a record to a reading, a Check
/// an hour, a header to a sector.
std::chrono::seconds empty_memory_lasts(std::uint16_t sector_count, std::uint16_t interval_s);

/// How long the batteries last, an estimate on the careful side: three AA alkaline cells in the
/// cold, with every part drawing its most, and a charge that is guessed from their voltage. [s]
std::chrono::seconds battery_lasts(double battery_mv, std::uint16_t interval_s);

/// Charge that is left, 0 to 1, guessed from the voltage of three alkaline cells.
double battery_share(double battery_mv);

} // namespace quaycell
