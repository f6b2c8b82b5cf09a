// The time that a record itself states.
#pragma once

#include "base/record_bytes.h"

namespace quaycell {

/// By the logger's clock, 0 when the record states none. Of a clock setting, the time set.
inline std::uint32_t stated_unix_s(const RecordBytes& bytes) {
    switch (static_cast<wire::RecordKind>(bytes[0])) {
    case wire::RecordKind::boot:
        return wire::from_bytes<wire::Boot>(bytes.data()).unix_s;
    case wire::RecordKind::clock_set:
        return wire::from_bytes<wire::ClockSet>(bytes.data()).after_unix_s;
    case wire::RecordKind::arm:
        return wire::from_bytes<wire::Arm>(bytes.data()).unix_s;
    case wire::RecordKind::check:
        return wire::from_bytes<wire::Check>(bytes.data()).unix_s;
    default:
        return 0;
    }
}

} // namespace quaycell
