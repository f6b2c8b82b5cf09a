// An instant as an archive holds it: Unix milliseconds, UTC.
#pragma once

#include "base/time.h"

namespace quaycell {

inline std::int64_t to_ms(Instant instant) {
    return instant.time_since_epoch().count();
}
inline Instant from_ms(std::int64_t ms) {
    return Instant{Milliseconds{ms}};
}

} // namespace quaycell
