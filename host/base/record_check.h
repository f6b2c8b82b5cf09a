// Whether a record is whole, for hosts that look at millions of them.
#pragma once

#include <cstddef>
#include <cstdint>

namespace quaycell {

/// What wire::is_valid_record() answers, by one table for each place in the record, which is
/// several times as fast. `bytes` has wire::record_size of them.
bool is_whole_record(const std::uint8_t* bytes);

/// Whether all of so many records, one behind the other, are whole: together they take an eighth of
/// the time.
inline constexpr std::size_t records_together = 16;
bool are_whole_records(const std::uint8_t* bytes);

} // namespace quaycell
