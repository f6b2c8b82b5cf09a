// When each record of a deployment was written.
#pragma once

#include "series/decode.h"

namespace quaycell {

struct RecordTime {
    Instant time;
    bool doubtful = false;
};

/// One time per record, by the second that its ticks name: that of a reading is when it was due,
/// which may be a little before the record ahead of it. All records must be whole. An error when
/// none of them knows the time.
Result<std::vector<RecordTime>> times_of(std::span<const RecordBytes> records);

/// Those that are whole, each once.
std::vector<RecordBytes> whole_records(std::span<const RecordBytes> records);

} // namespace quaycell
