// Records, one after another, against those that an archive holds of the same logger.
#pragma once

#include "base/record_bytes.h"

#include <span>
#include <string>
#include <string_view>

namespace quaycell {

/// The first difference in words; empty where `held` has all of `stated` and none between them.
/// `stated`: whole records; both by restart and number.
std::string first_difference_of_records(std::string_view stated, std::span<const RecordBytes> held);

} // namespace quaycell
