// Instants in UTC, written outside as RFC 3339.
#pragma once

#include "base/result.h"

#include <chrono>
#include <cstdint>
#include <string>
#include <string_view>

namespace quaycell {

using Instant = std::chrono::sys_time<std::chrono::milliseconds>;
using Milliseconds = std::chrono::milliseconds;

/// Reads RFC 3339 ("2026-05-04T06:00:00Z", fractions of a second and offsets allowed); a time
/// without an offset is refused, because nobody could say when it was.
Result<Instant> parse_instant(std::string_view text);

/// RFC 3339 in UTC, with milliseconds only where there are any.
std::string to_text(Instant instant);

constexpr Instant from_unix_s(std::int64_t seconds) {
    return Instant{std::chrono::seconds{seconds}};
}
constexpr double seconds_between(Instant from, Instant to) {
    return static_cast<double>((to - from).count()) / 1000.0;
}

/// When something was done: at a time, or some time on a day (in UTC).
struct WhenDone {
    Instant earliest;
    Instant latest;   ///< the end of the day where no more is told
    std::string text; ///< "2026-05-01", or a time in RFC 3339
};

/// Reads "90", "90s", "10min", "2h", "7d": a length of time, seconds when no unit is given.
Result<std::chrono::seconds> parse_duration(std::string_view text);

/// "7 d 12 h", "45 min", "10 s": the two largest units that are not zero.
std::string to_text(std::chrono::seconds duration);

} // namespace quaycell
