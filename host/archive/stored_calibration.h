// A calibration as an archive holds it, of any protocol version so far.
#pragma once

#include "archive/sqlite.h"
#include "wire/calibration.h"

#include <optional>

namespace quaycell {

/// Nothing when the bytes are none. What an earlier version did not tell is unmeasured.
std::optional<wire::Calibration> stored_calibration(const sqlite::Blob& bytes);

} // namespace quaycell
