// The time that a record itself states.
#pragma once

#include "base/record_bytes.h"

namespace quaycell {

/// Of a whole record; by the logger's clock, 0 when the record states none. Of a clock setting, the
/// time set.
inline std::uint32_t stated_unix_s(const std::uint8_t* record) {
    switch (static_cast<wire::RecordKind>(record[0])) {
    case wire::RecordKind::boot:
        return wire::from_bytes<wire::Boot>(record).unix_s;
    case wire::RecordKind::clock_set:
        return wire::from_bytes<wire::ClockSet>(record).after_unix_s;
    case wire::RecordKind::arm:
        return wire::from_bytes<wire::Arm>(record).unix_s;
    case wire::RecordKind::check:
        return wire::from_bytes<wire::Check>(record).unix_s;
    default:
        return 0;
    }
}

} // namespace quaycell
