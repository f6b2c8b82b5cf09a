// Lengths of time as people write them.
#pragma once

#include "bench/findings.h"

#include <optional>
#include <string_view>

namespace quaycell::bench {

/// "90s", "10min", "2h", "7d" and their sums such as "2d6h"; a bare number is seconds. Nothing when
/// it is none of these.
std::optional<Time> parse_duration(std::string_view text);

} // namespace quaycell::bench
