// What is taken for a time where one comes from outside: the years 1970 to 9999. RFC 3339 can write
// no later one, and whatever is reckoned from one stays far within an Instant.
#pragma once

#include "base/time.h"

namespace quaycell {

inline constexpr Instant earliest_instant{};
inline constexpr Instant latest_instant =
    std::chrono::sys_days{std::chrono::year{9999} / std::chrono::December / 31} +
    std::chrono::days{1} - Milliseconds{1};

constexpr bool is_known_time(Instant at) {
    return at >= earliest_instant && at <= latest_instant;
}

/// Of Unix milliseconds that somebody else may have written. Error: wrong_input.
Result<Instant> from_unix_ms(std::int64_t milliseconds);

} // namespace quaycell
