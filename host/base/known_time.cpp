#include "base/known_time.h"

#include <fmt/format.h>

namespace quaycell {

Result<Instant> from_unix_ms(std::int64_t milliseconds) {
    const Instant at{Milliseconds{milliseconds}};
    if (is_known_time(at)) return at;
    return Error{
        ErrorCode::wrong_input,
        fmt::format("{} milliseconds from 1970 on are no time before the year 10000", milliseconds),
        "", ""};
}

} // namespace quaycell
