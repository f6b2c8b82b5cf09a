// Whether a record is whole, for hosts that look at millions of them.
#pragma once

#include <cstdint>

namespace quaycell {

/// What wire::is_valid_record() answers, by one table for each place in the record, which is
/// several times as fast. `bytes` has wire::record_size of them.
bool is_whole_record(const std::uint8_t* bytes);

} // namespace quaycell
