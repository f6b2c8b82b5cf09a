// What a logger's records say, in plain words: cause, place, remedy.
#pragma once

#include "wire/record.h"

#include <string>

namespace quaycell {

/// Why it restarted, by ResetCause bits.
std::string reset_words(std::uint8_t cause);
std::string stop_words(const wire::Stop& record);
std::string clock_words(const wire::ClockSet& record);

/// What RecordHead::time_flags tell against the clock chip; empty for nothing. A jump has a record
/// of its own, see clock_words().
std::string clock_trouble_words(std::uint8_t time_flags);

} // namespace quaycell
